// A dome of 18 divisions, cut low: 7 580 timbers. Hinged joints, as the pinned model is solved soonest.
import { writeFileSync } from "node:fs";

writeFileSync(`${process.argv[2]}/large.toml`, `[project]
name = "Larkfold great dome"
basis = "eurocode"
[shell]
form = "dome"
radius = "16 m"
frequency = 18
up = "vertex"
base = "-8 m"
[timber]
grade = "C24"
breadth = "47 mm"
depth = "120 mm"
service_class = 2
[joints]
models = ["pinned"]
[cover]
weight = "9 kg/m2"
[snow]
ground = "0.6 kN/m2"
[wind]
left_out = "drawn for size only"
[feet]
held = "pinned"
`);
