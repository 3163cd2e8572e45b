// The turning view of the notes. It shows what the page's data holds and works nothing out.
// Without WebGL or scripts the still drawing after it stays in its place.
(function () {
  "use strict";
  var host = document.getElementById("turning");
  var source = document.getElementById("view-data");
  if (!host || !source) return;
  var data = JSON.parse(source.textContent);
  var count = data.members.ids.length;
  if (!count) return;
  var canvas = document.createElement("canvas");
  var gl = canvas.getContext("webgl", { antialias: true, alpha: false });
  if (!gl) return;

  // ---- the page round the canvas -------------------------------------------------------------
  function make(tag, attributes, text) {
    var element = document.createElement(tag);
    for (var name in attributes) element.setAttribute(name, attributes[name]);
    if (text) element.textContent = text;
    return element;
  }
  var bar = make("div", { class: "bar" });
  var shownLabel = make("label", { for: "view-show" }, "Show ");
  var shown = make("select", { id: "view-show" });
  var choices = [{ kind: "worked", name: "how hard each timber is worked", note: data.notes.worked },
    { kind: "axial", name: "greatest axial force", note: data.notes.axial }, { kind: "seams", name: "ridge and valley seams" }];
  data.cases.forEach(function (one, n) { choices.push({ kind: "case", n: n, name: "load: " + one.name, note: one.note }); });
  data.shapes.forEach(function (one, n) { choices.push({ kind: "shape", n: n, name: one.name, note: one.note }); });
  choices.forEach(function (one, n) { shown.appendChild(make("option", { value: String(n) }, one.name)); });
  var findLabel = make("label", { for: "view-find" }, "Timber ");
  var find = make("input", { id: "view-find", type: "text", size: "7", autocomplete: "off" });
  var through = make("button", { type: "button", "aria-pressed": "false" }, "See through");
  var home = make("button", { type: "button" }, "Turn back");
  shownLabel.appendChild(shown);
  findLabel.appendChild(find);
  [shownLabel, findLabel, through, home].forEach(function (one) { bar.appendChild(one); });
  canvas.tabIndex = 0;
  canvas.setAttribute("role", "application");
  canvas.setAttribute("aria-label", "The shell in three dimensions. Arrow keys turn it, plus and minus zoom, N and P " +
    "pick the next and the previous timber, Escape lets go, Home turns it back.");
  var bands = make("div", { class: "bands" });
  var told = make("div", { class: "told", role: "status", "aria-live": "polite" });
  // Which way x, y and z run, in a corner of the view: the loads and the places are told by them.
  var stage = make("div", { class: "stage" });
  var drawn = "http://www.w3.org/2000/svg", compass = document.createElementNS(drawn, "svg");
  compass.setAttribute("viewBox", "-40 -40 80 80");
  compass.setAttribute("aria-hidden", "true");
  // What of the shell is behind it is toned down, so that its letters are read.
  var behind = document.createElementNS(drawn, "circle");
  behind.setAttribute("r", "40");
  compass.appendChild(behind);
  var axes = ["x", "y", "z"].map(function (name) {
    var line = document.createElementNS(drawn, "path"), text = document.createElementNS(drawn, "text");
    text.textContent = name;
    compass.appendChild(line);
    compass.appendChild(text);
    return [line, text];
  });
  stage.appendChild(canvas);
  stage.appendChild(compass);
  host.appendChild(bar);
  host.appendChild(stage);
  host.appendChild(bands);
  host.appendChild(told);
  host.hidden = false;
  host.setAttribute("role", "region");
  host.setAttribute("aria-label", "Turning view of the shell");
  var still = host.nextElementSibling;
  if (still && still.tagName === "FIGURE") still.classList.add("stood-in");

  // ---- colours -------------------------------------------------------------------------------
  var names = ["worked0", "worked1", "worked2", "worked3", "worked4", "worked5", "soft", "push", "pull", "ridge",
    "valley", "ink", "moved", "load", "suction", "panel", "ground", "faint"];
  var tints = {};
  function readTints() {
    var style = getComputedStyle(document.documentElement);
    names.forEach(function (name) {
      var value = parseInt(style.getPropertyValue("--" + name).trim().slice(1), 16);
      tints[name] = [(value >> 16 & 255) / 255, (value >> 8 & 255) / 255, (value & 255) / 255];
    });
  }
  function mix(a, b, t) { return [0, 1, 2].map(function (k) { return a[k] + (b[k] - a[k]) * t; }); }

  // ---- shaders -------------------------------------------------------------------------------
  function program(vertex, fragment) {
    var result = gl.createProgram();
    [[gl.VERTEX_SHADER, vertex], [gl.FRAGMENT_SHADER, fragment]].forEach(function (pair) {
      var shader = gl.createShader(pair[0]);
      gl.shaderSource(shader, pair[1]);
      gl.compileShader(shader);
      gl.attachShader(result, shader);
    });
    gl.linkProgram(result);
    if (!gl.getProgramParameter(result, gl.LINK_STATUS)) throw new Error(gl.getProgramInfoLog(result));
    return result;
  }
  var lines = program(
    "attribute vec3 a,b,ma,mb,tint;attribute vec4 how;uniform mat4 view;uniform vec2 size;uniform float moved,dense;" +
    "uniform vec2 lift;uniform vec4 veil;varying vec3 c;varying float along,dash,depth;" +
    "void main(){vec4 p=view*vec4(a+ma*moved,1.),q=view*vec4(b+mb*moved,1.);vec2 s=p.xy/p.w*size*.5,e=q.xy/q.w*size*.5;" +
    "vec2 d=e-s;float l=max(length(d),1e-4);d/=l;vec4 o=how.x<.5?p:q;" +
    "vec2 off=vec2(-d.y,d.x)*how.y*how.z*dense+d*(how.x<.5?-.5:.5)*how.z*dense;" +
    "o.xy+=off/size*2.*o.w;o.z+=lift.x*(o.w/max(o.w-lift.y,.5*o.w)-1.);gl_Position=o;c=mix(tint,veil.rgb,veil.a);along=how.x*l;dash=how.w;depth=o.w;}",
    "precision mediump float;varying vec3 c;varying float along,dash,depth;uniform vec3 ground;uniform vec2 reach;" +
    "void main(){if(dash>0.&&fract(along/dash)>.66)discard;" +
    "float f=clamp((depth-reach.x)/(reach.y-reach.x),0.,1.);gl_FragColor=vec4(mix(c,ground,0.4*f),1.);}");
  var faces = program(
    "attribute vec3 a,ma,tint;attribute float striped;uniform mat4 view;uniform float moved;varying vec3 c;" +
    "varying float depth,stripes;" +
    "void main(){gl_Position=view*vec4(a+ma*moved,1.);c=tint;depth=gl_Position.w;stripes=striped;}",
    "precision mediump float;varying vec3 c;varying float depth,stripes;uniform vec3 ground;uniform vec2 reach;" +
    "uniform float dense;" +
    "void main(){float f=clamp((depth-reach.x)/(reach.y-reach.x),0.,1.);" +
    "vec3 k=gl_FrontFacing?c:mix(c,ground,.35);" +
    "if(stripes>.5&&fract((gl_FragCoord.x+gl_FragCoord.y)/(11.*dense))<.3)k=mix(k,ground,.6);gl_FragColor=vec4(mix(k,ground,.3*f),1.);}");

  // ---- geometry ------------------------------------------------------------------------------
  var at = data.joints.at_mm.map(function (v) { return v / 1000; });
  var low = [1e9, 1e9, 1e9], high = [-1e9, -1e9, -1e9];
  for (var n = 0; n < at.length; n++) {
    low[n % 3] = Math.min(low[n % 3], at[n]);
    high[n % 3] = Math.max(high[n % 3], at[n]);
  }
  var middle = [0, 1, 2].map(function (k) { return (low[k] + high[k]) / 2; });
  var radius = Math.max(0.1, Math.hypot(high[0] - low[0], high[1] - low[1], high[2] - low[2]) / 2);
  function joint(list, n) { return list ? [list[3 * n], list[3 * n + 1], list[3 * n + 2]] : [0, 0, 0]; }

  var corners = [];
  data.panels.forEach(function (panel, n) {
    for (var k = 1; k + 1 < panel.length; k++) corners.push([panel[0], panel[k], panel[k + 1], n]);
  });
  var lineBuffer = gl.createBuffer(), faceBuffer = gl.createBuffer(), elementBuffer = gl.createBuffer();
  var LINE = 19, FACE = 10;
  var lineData = new Float32Array(count * 4 * LINE), faceData = new Float32Array(corners.length * 3 * FACE);
  var elements = new Uint16Array(Math.min(count, 16383) * 6);
  for (n = 0; n < elements.length / 6; n++) elements.set([4 * n, 4 * n + 1, 4 * n + 2, 4 * n + 2, 4 * n + 1, 4 * n + 3], 6 * n);
  gl.bindBuffer(gl.ELEMENT_ARRAY_BUFFER, elementBuffer);
  gl.bufferData(gl.ELEMENT_ARRAY_BUFFER, elements, gl.STATIC_DRAW);

  var choice = choices[0], picked = -1, sought = "", seeThrough = false;
  var mostAxial = Math.max(1, Math.max.apply(null, data.members.axial_n.map(Math.abs)));
  function step(milli) {
    var limits = [250, 500, 700, 850, 1000], n = 0;
    while (n < 5 && milli > limits[n]) n++;
    return n;
  }
  // Colour, width in pixels and dash length of a member: the same meanings as in the still drawings.
  function pen(n) {
    if (choice.kind === "worked") {
      var milli = data.members.worked_milli[n];
      if (milli < 0) return [tints.soft, 1, 5];
      var s = step(milli);
      return [tints["worked" + s], [1.4, 2, 2.7, 3.4, 4.4, 6.2][s], s === 4 ? 14 : 0];
    }
    if (choice.kind === "axial") {
      var force = data.members.axial_n[n], share = Math.abs(force) / mostAxial;
      return [force > 0 ? tints.pull : tints.push, 1 + 5 * share, force > 0 ? 11 : 0];
    }
    if (choice.kind === "seams") {
      var kind = data.members.kinds[n];
      return kind === 0 ? [tints.ridge, 2.6, 0] : kind === 1 ? [tints.valley, 2.8, 12] : [tints.ink, 4, 0];
    }
    return choice.kind === "shape" ? [tints.moved, 2.2, 0] : [tints.ink, 1.4, 0];
  }
  function fill() {
    var by = choice.kind === "shape" ? data.shapes[choice.n].by : null, o = 0, n, v, p;
    for (n = 0; n < count; n++) {
      var from = data.members.ends[2 * n], to = data.members.ends[2 * n + 1], how = pen(n);
      var a = joint(at, from), b = joint(at, to), ma = joint(by, from), mb = joint(by, to);
      var tint = n === picked ? tints.moved : how[0], width = n === picked ? Math.max(7, how[1] + 3) : how[1];
      for (v = 0; v < 4; v++) {
        lineData.set(a, o); lineData.set(b, o + 3); lineData.set(ma, o + 6); lineData.set(mb, o + 9);
        lineData.set(tint, o + 12);
        lineData.set([v >> 1, v & 1 ? 0.5 : -0.5, width, n === picked ? 0 : how[2]], o + 15);
        o += LINE;
      }
    }
    var loads = choice.kind === "case" ? data.cases[choice.n].panels : null, most = 1, size;
    if (loads) for (p = 0; p < data.panels.length; p++) most = Math.max(most, Math.hypot.apply(null, joint(loads, p)));
    o = 0;
    corners.forEach(function (three) {
      var a = joint(at, three[0]), b = joint(at, three[1]), c = joint(at, three[2]), tint = tints.panel;
      var u = [b[0] - a[0], b[1] - a[1], b[2] - a[2]], w = [c[0] - a[0], c[1] - a[1], c[2] - a[2]];
      var up = [u[1] * w[2] - u[2] * w[1], u[2] * w[0] - u[0] * w[2], u[0] * w[1] - u[1] * w[0]];
      var long = Math.hypot(up[0], up[1], up[2]) || 1, pulls = 0;
      if (loads) {
        var t = joint(loads, three[3]);
        size = Math.hypot(t[0], t[1], t[2]) / most;
        pulls = t[0] * up[0] + t[1] * up[1] + t[2] * up[2] > 0 ? 1 : 0;
        tint = mix(tints.ground, pulls ? tints.suction : tints.load, 0.08 + 0.72 * size);
      } else {
        // A little light from above tells the panels apart.
        tint = mix(tints.panel, tints.ground, 0.3 + 0.4 * (0.5 + 0.5 * (0.35 * up[0] - 0.5 * up[1] + 0.8 * up[2]) / long));
      }
      for (var k = 0; k < 3; k++) {
        faceData.set(joint(at, three[k]), o); faceData.set(joint(by, three[k]), o + 3); faceData.set(tint, o + 6);
        faceData[o + 9] = pulls;
        o += FACE;
      }
    });
    gl.bindBuffer(gl.ARRAY_BUFFER, lineBuffer); gl.bufferData(gl.ARRAY_BUFFER, lineData, gl.DYNAMIC_DRAW);
    gl.bindBuffer(gl.ARRAY_BUFFER, faceBuffer); gl.bufferData(gl.ARRAY_BUFFER, faceData, gl.DYNAMIC_DRAW);
  }

  // ---- the eye -------------------------------------------------------------------------------
  var start = { turn: -0.95, tilt: 0.42, zoom: 1 }, eye = Object.assign({}, start), frames = 0, waiting = false;
  var matrix = new Float32Array(16);
  var LENS = 2.4, depth = 0, fitted = [0, 0];
  // From how far away all joints are seen, however the shell is turned about its upright.
  function distance(aspect) {
    if (fitted[0] === aspect) return fitted[1];
    var most = radius * 1.05, cp = Math.cos(start.tilt), sp = Math.sin(start.tilt), room = 0.86;
    for (var k = 0; k < 12; k++) {
      var ct = Math.cos(k * Math.PI / 6), st = Math.sin(k * Math.PI / 6);
      for (var n = 0; n < at.length; n += 3) {
        var x = at[n] - middle[0], y = at[n + 1] - middle[1], z = at[n + 2] - middle[2], flat = ct * x + st * y;
        var wide = Math.abs(ct * y - st * x) / aspect, tall = Math.abs(cp * z - sp * flat);
        most = Math.max(most, cp * flat + sp * z + LENS / room * Math.max(wide, tall));
      }
    }
    fitted = [aspect, most];
    return most;
  }
  function look() {
    var aspect = canvas.width / canvas.height, away = distance(aspect) / eye.zoom, f = LENS;
    var ct = Math.cos(eye.turn), st = Math.sin(eye.turn), cp = Math.cos(eye.tilt), sp = Math.sin(eye.tilt);
    var out = [cp * ct, cp * st, sp], right = [-st, ct, 0], up = [-sp * ct, -sp * st, cp];
    // As tight round the shell as its moved shapes allow: what is hidden is told by depth.
    var near = Math.max(away - 1.2 * radius, radius * 0.02), far = away + 1.2 * radius;
    var A = (far + near) / (near - far), B = 2 * far * near / (near - far);
    depth = B;
    function along(axis) { return axis[0] * middle[0] + axis[1] * middle[1] + axis[2] * middle[2]; }
    for (var k = 0; k < 3; k++) {
      matrix[4 * k] = right[k] * f / aspect; matrix[4 * k + 1] = up[k] * f;
      matrix[4 * k + 2] = out[k] * A; matrix[4 * k + 3] = -out[k];
    }
    matrix[12] = -along(right) * f / aspect; matrix[13] = -along(up) * f;
    matrix[14] = (-along(out) - away) * A + B; matrix[15] = along(out) + away;
    return [Math.max(near, away - radius * 0.9), away + radius];
  }
  function project(p) {
    var w = matrix[3] * p[0] + matrix[7] * p[1] + matrix[11] * p[2] + matrix[15];
    return [((matrix[0] * p[0] + matrix[4] * p[1] + matrix[8] * p[2] + matrix[12]) / w * 0.5 + 0.5) * canvas.clientWidth,
      (0.5 - (matrix[1] * p[0] + matrix[5] * p[1] + matrix[9] * p[2] + matrix[13]) / w * 0.5) * canvas.clientHeight, w];
  }
  function moved() { return choice.kind === "shape" ? radius * 0.16 / 1000 : 0; }
  // Places in the shaders are asked for once: asking waits for the graphics process.
  function placesOf(shader, attributes, uniforms) {
    var places = { list: [], at: {} };
    attributes.forEach(function (one) { places.list.push([gl.getAttribLocation(shader, one[0]), one[1], one[2]]); });
    uniforms.forEach(function (name) { places.at[name] = gl.getUniformLocation(shader, name); });
    return places;
  }
  var common = ["view", "moved", "ground", "reach"];
  var linePlaces = placesOf(lines, [["a", 3, 0], ["b", 3, 3], ["ma", 3, 6], ["mb", 3, 9], ["tint", 3, 12], ["how", 4, 15]],
    common.concat(["size", "dense", "lift", "veil"]));
  var facePlaces = placesOf(faces, [["a", 3, 0], ["ma", 3, 3], ["tint", 3, 6], ["striped", 1, 9]],
    common.concat(["dense"]));
  function attributes(places, stride, base) {
    for (var n = 0; n < places.list.length; n++) {
      var one = places.list[n];
      if (one[0] < 0) continue;
      gl.enableVertexAttribArray(one[0]);
      gl.vertexAttribPointer(one[0], one[1], gl.FLOAT, false, stride * 4, (base + one[2]) * 4);
    }
  }
  function same(places, reach) {
    gl.uniformMatrix4fv(places.at.view, false, matrix);
    gl.uniform1f(places.at.moved, moved());
    gl.uniform3fv(places.at.ground, tints.ground);
    gl.uniform2f(places.at.reach, reach[0], reach[1]);
  }
  // While it turns on a machine that cannot keep up, fewer points are drawn; at rest all of them are.
  var turning = false, quality = 1, last = 0, slow = 16, rest = 0;
  function stir() {
    turning = true;
    clearTimeout(rest);
    rest = setTimeout(function () { turning = false; last = 0; ask(); }, 220);
    ask();
  }
  function pace(now) {
    if (!turning) return 1;
    if (last && now - last < 400) {
      slow += 0.4 * (now - last - slow);
      if (slow > 27 && quality > 0.3) { quality = Math.max(0.3, quality * 0.8); slow = 20; }
    }
    last = now;
    return quality;
  }
  function draw(now) {
    waiting = false;
    var ratio = Math.min(window.devicePixelRatio || 1, 2) * pace(now);
    var wide = Math.round(canvas.clientWidth * ratio), tall = Math.round(canvas.clientHeight * ratio);
    if (!wide || !tall) return;
    if (canvas.width !== wide || canvas.height !== tall) { canvas.width = wide; canvas.height = tall; }
    var reach = look(), ground = tints.ground;
    gl.viewport(0, 0, wide, tall);
    gl.clearColor(ground[0], ground[1], ground[2], 1);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
    gl.enable(gl.DEPTH_TEST);
    if (corners.length && !seeThrough) {
      gl.useProgram(faces);
      gl.bindBuffer(gl.ARRAY_BUFFER, faceBuffer);
      attributes(facePlaces, FACE, 0);
      same(facePlaces, reach);
      gl.uniform1f(facePlaces.at.dense, ratio);
      gl.drawArrays(gl.TRIANGLES, 0, corners.length * 3);
    }
    gl.useProgram(lines);
    gl.bindBuffer(gl.ARRAY_BUFFER, lineBuffer);
    gl.bindBuffer(gl.ELEMENT_ARRAY_BUFFER, elementBuffer);
    gl.uniform2f(linePlaces.at.size, wide, tall);
    // The finer the mesh, the finer the lines.
    var dense = ratio * Math.max(0.35, Math.min(1, Math.sqrt(1600 / count) * Math.sqrt(eye.zoom)));
    gl.uniform1f(linePlaces.at.dense, dense);
    // So far before the panels as keeps a line whole, and no farther: those behind stay hidden.
    gl.uniform2f(linePlaces.at.lift, depth, 0.012 * radius);
    same(linePlaces, reach);
    function strokes(from, to) {
      for (var first = from - from % 16383; first < to; first += 16383) {
        var begin = Math.max(from, first) - first, part = Math.min(16383, to - first) - begin;
        attributes(linePlaces, LINE, first * 4 * LINE);
        gl.drawElements(gl.TRIANGLES, part * 6, gl.UNSIGNED_SHORT, begin * 12);
      }
    }
    function veil(tint, share) { gl.uniform4f(linePlaces.at.veil, tint[0], tint[1], tint[2], share); }
    if (choice.kind === "shape") {
      veil(tints.soft, 1);
      gl.uniform1f(linePlaces.at.moved, 0);
      gl.uniform1f(linePlaces.at.dense, dense * 0.4);
      strokes(0, count);
      gl.uniform1f(linePlaces.at.moved, moved());
      gl.uniform1f(linePlaces.at.dense, dense);
    }
    veil(ground, 0);
    strokes(0, count);
    if (picked >= 0) {
      // One that is picked shows through what hides it, paler there.
      veil(ground, 0.35);
      gl.disable(gl.DEPTH_TEST);
      strokes(picked, picked + 1);
      gl.enable(gl.DEPTH_TEST);
      veil(ground, 0);
      strokes(picked, picked + 1);
    }
    axes.forEach(function (pair, k) {
      var x = 27 * matrix[4 * k] * canvas.width / canvas.height / LENS, y = -27 * matrix[4 * k + 1] / LENS;
      var long = Math.hypot(x, y), ux = long ? x / long : 0, uy = long ? y / long : 0;
      pair[0].setAttribute("d", "M0 0L" + x.toFixed(1) + " " + y.toFixed(1) + (long < 6 ? "" : "l" +
        (-6 * ux - 3 * uy).toFixed(1) + " " + (-6 * uy + 3 * ux).toFixed(1) + "m" + (6 * uy).toFixed(1) + " " +
        (-6 * ux).toFixed(1) + "L" + x.toFixed(1) + " " + y.toFixed(1)));
      pair[1].setAttribute("x", (x + 8 * ux).toFixed(1));
      pair[1].setAttribute("y", (y + 8 * uy + 4).toFixed(1));
    });
    canvas.dataset.frames = String(++frames);
  }
  function ask() {
    if (!waiting) { waiting = true; requestAnimationFrame(draw); }
  }

  // ---- picking and telling -------------------------------------------------------------------
  function place(n) {
    var by = choice.kind === "shape" ? data.shapes[choice.n].by : null, m = moved();
    return [0, 1].map(function (end) {
      var j = data.members.ends[2 * n + end], p = joint(at, j), d = joint(by, j);
      return project([p[0] + d[0] * m, p[1] + d[1] * m, p[2] + d[2] * m]);
    });
  }
  function nearest(x, y) {
    var best = -1, score = Infinity, reach = 12;
    look();
    for (var n = 0; n < count; n++) {
      var ends = place(n), a = ends[0], b = ends[1], dx = b[0] - a[0], dy = b[1] - a[1];
      var t = Math.max(0, Math.min(1, ((x - a[0]) * dx + (y - a[1]) * dy) / (dx * dx + dy * dy || 1)));
      var gap = Math.hypot(a[0] + dx * t - x, a[1] + dy * t - y);
      if (gap > reach) continue;
      // Among those under the pointer the one nearest to the reader counts most.
      var value = gap + (a[2] + (b[2] - a[2]) * t) / radius * 14;
      if (value < score) { score = value; best = n; }
    }
    return best;
  }
  function tell() {
    told.textContent = "";
    function line(text, name) { told.appendChild(make("p", name ? { class: name } : {}, text)); }
    if (picked < 0) {
      if (sought) line("No timber is called " + sought + ".");
      if (choice.note) line(choice.note);
      line("Drag to turn, scroll or pinch to zoom, click a timber for its figures. With the view in focus: arrow " +
        "keys, plus and minus, N and P, Home, Escape.", "key");
      line("Indicative only.");
      delete canvas.dataset.picked;
      return;
    }
    var m = data.members;
    line(m.ids[picked] + ": " + m.worked[picked] + " of its limit");
    line(m.words[m.about[picked]] + ", between " + data.joints.ids[m.ends[2 * picked]] + " and " +
      data.joints.ids[m.ends[2 * picked + 1]]);
    if (m.checks[picked] >= 0) line(m.words[m.checks[picked]]);
    line("axial force " + m.axial[picked] + " (pulling is positive)");
    if (choice.note) line(choice.note);
    line("Indicative only.");
    canvas.dataset.picked = m.ids[picked];
  }
  function key() {
    bands.textContent = "";
    var list = [];
    if (choice.kind === "worked") list = ["to 0.25", "to 0.50", "to 0.70", "to 0.85, within", "to 1.00, near (dashed)", "over"].map(
      function (text, n) { return ["worked" + n, text]; });
    if (choice.kind === "worked" && data.members.worked_milli.some(function (one) { return one < 0; })) {
      list.push(["soft", "not checked (dotted)"]);
    }
    if (choice.kind === "axial") list = [["push", "pushed"], ["pull", "pulled (dashed)"]];
    if (choice.kind === "seams") list = [["ridge", "ridge seam"], ["valley", "valley seam (dashed)"], ["ink", "rim or bar"]];
    if (choice.kind === "case") list = [["load", "presses on the surface"], ["suction", "pulls away from it (striped)"]];
    if (choice.kind === "shape") {
      // Only a bent shape has a size of its own.
      var largest = data.shapes[choice.n].largest_m;
      var size = largest > 0 ? "enlarged about " + Number((moved() * 1000 / largest).toPrecision(2)) + " times" : "not to scale";
      list = [["moved", "moved shape, " + size], ["soft", "as built"]];
    }
    list.forEach(function (pair) {
      var one = make("span", {}, pair[1]);
      one.style.setProperty("--band", "var(--" + pair[0] + ")");
      if (pair[0] === "suction") one.className = "striped";
      bands.appendChild(one);
    });
  }
  // `name`: what was looked for by name, where it may be no timber's.
  function pick(n, name) { picked = n; sought = n < 0 && name ? name : ""; fill(); tell(); ask(); }

  // ---- hands ---------------------------------------------------------------------------------
  var fingers = new Map(), travelled = 0, gap = 0;
  function turn(dx, dy) {
    eye.turn -= dx * 0.008;
    eye.tilt = Math.max(-0.3, Math.min(1.55, eye.tilt + dy * 0.008));
    stir();
  }
  function zoom(by) { eye.zoom = Math.max(0.4, Math.min(14, eye.zoom * by)); stir(); }
  canvas.addEventListener("pointerdown", function (event) {
    canvas.setPointerCapture(event.pointerId);
    fingers.set(event.pointerId, [event.clientX, event.clientY]);
    if (fingers.size === 1) travelled = 0;
    gap = 0;
  });
  canvas.addEventListener("pointermove", function (event) {
    var before = fingers.get(event.pointerId);
    if (!before) return;
    var dx = event.clientX - before[0], dy = event.clientY - before[1];
    fingers.set(event.pointerId, [event.clientX, event.clientY]);
    travelled += Math.abs(dx) + Math.abs(dy);
    if (fingers.size === 1) { turn(dx, dy); return; }
    var two = Array.from(fingers.values()), now = Math.hypot(two[0][0] - two[1][0], two[0][1] - two[1][1]);
    if (gap > 0) zoom(now / gap);
    gap = now;
  });
  function lift(event) {
    var alone = fingers.size === 1 && fingers.has(event.pointerId);
    fingers.delete(event.pointerId);
    gap = 0;
    if (event.type === "pointerup" && alone && travelled < 6) {
      var box = canvas.getBoundingClientRect();
      pick(nearest(event.clientX - box.left, event.clientY - box.top));
    }
  }
  canvas.addEventListener("pointerup", lift);
  canvas.addEventListener("pointercancel", lift);
  canvas.addEventListener("wheel", function (event) {
    event.preventDefault();
    zoom(Math.exp(-event.deltaY * 0.0012));
  }, { passive: false });
  canvas.addEventListener("keydown", function (event) {
    var act = { ArrowLeft: [-18, 0], ArrowRight: [18, 0], ArrowUp: [0, 14], ArrowDown: [0, -14] }[event.key];
    if (act) turn(act[0], act[1]);
    else if (event.key === "+" || event.key === "=") zoom(1.15);
    else if (event.key === "-") zoom(1 / 1.15);
    else if (event.key === "n" || event.key === "N") pick((picked + 1) % count);
    else if (event.key === "p" || event.key === "P") pick(picked <= 0 ? count - 1 : picked - 1);
    else if (event.key === "Escape") pick(-1);
    else if (event.key === "Home") { Object.assign(eye, start); ask(); }
    else return;
    event.preventDefault();
  });
  shown.addEventListener("change", function () {
    choice = choices[Number(shown.value)];
    fill(); key(); tell(); ask();
  });
  find.addEventListener("change", function () {
    var name = find.value.trim();
    pick(data.members.ids.indexOf(name), name);
  });
  through.addEventListener("click", function () {
    seeThrough = !seeThrough;
    through.setAttribute("aria-pressed", String(seeThrough));
    ask();
  });
  home.addEventListener("click", function () { Object.assign(eye, start); ask(); });
  canvas.addEventListener("webglcontextlost", function () {
    host.hidden = true;
    if (still) still.classList.remove("stood-in");
  });
  window.addEventListener("resize", ask);
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", function () { readTints(); fill(); ask(); });

  readTints(); fill(); key(); tell(); ask();
})();
