//! Where answers go: standard output, and files that are written whole or not at all.

use std::fs;
use std::io::{BufRead, BufReader, ErrorKind, IsTerminal, Read, Write};
use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, Ordering};

use tempfile::{Builder, NamedTempFile, TempPath};

use crate::error::{Error, Exit};
use crate::report::csv::sheets;
use crate::report::screen::{WIDTH, wrap};

/// Files begun and not yet in their place, to be taken away when the work is broken off.
static UNFINISHED: Mutex<Vec<PathBuf>> = Mutex::new(Vec::new());

fn unfinished() -> std::sync::MutexGuard<'static, Vec<PathBuf>> {
    // A list of paths is whole whatever happened to the thread that held it.
    UNFINISHED.lock().unwrap_or_else(std::sync::PoisonError::into_inner)
}

/// What the project was read from, as the system knows it: no answer takes its place.
static READ: Mutex<Vec<PathBuf>> = Mutex::new(Vec::new());

/// Names files that were read; an answer that would replace one of them is refused.
pub(crate) fn protect(files: impl Iterator<Item = PathBuf>) {
    let mut read = READ.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
    read.extend(files.filter_map(|file| file.canonicalize().ok()));
}

/// An error where a file to be written is one that was read.
fn keep_what_was_read(path: &Path) -> Result<(), Error> {
    let read = READ.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
    match path.canonicalize() {
        Ok(real) if read.contains(&real) => Err(Error::Place {
            path: path.to_path_buf(),
            why: "the project is read from this file".to_owned(),
            help: "write to another one",
        }),
        _ => Ok(()),
    }
}

/// Takes away what was begun and not finished.
pub(crate) fn clear_unfinished() {
    for path in unfinished().drain(..) {
        let _ = fs::remove_file(path);
    }
}

/// Whether the first Ctrl-C only asks to stop: a study finishes the rows under way and writes them.
static GENTLE: AtomicBool = AtomicBool::new(false);
/// Whether somebody has asked.
static STOPPING: AtomicBool = AtomicBool::new(false);

/// From here on the first Ctrl-C only asks to stop; the second one ends the program.
pub(crate) fn stop_gently() {
    GENTLE.store(true, Ordering::SeqCst);
}

/// Whether somebody has asked to stop.
pub(crate) fn stopping() -> bool {
    STOPPING.load(Ordering::SeqCst)
}

/// Ctrl-C: nothing half written stays behind.
pub(crate) fn on_interrupt() {
    // Without a handler the system ends the program just the same.
    let _ = ctrlc::set_handler(|| {
        if GENTLE.load(Ordering::SeqCst) && !STOPPING.swap(true, Ordering::SeqCst) {
            complain("stopping after the rows under way; Ctrl-C again ends at once, with nothing written");
            return;
        }
        clear_unfinished();
        complain("stopped");
        std::process::exit(i32::from(Exit::Stopped.code()));
    });
}

/// Told by the system to end (a timeout, a machine shutting down): as Ctrl-C, and the program ends as one that was told so.
///
/// Ctrl-C is another matter: the terminal's hang-up, which `ctrlc` would take along, is for `nohup` to hold back.
#[cfg(unix)]
pub(crate) fn on_termination() {
    use signal_hook::consts::SIGTERM;
    let Ok(mut signals) = signal_hook::iterator::Signals::new([SIGTERM]) else { return };
    std::thread::spawn(move || {
        if signals.forever().next().is_some() {
            clear_unfinished();
            complain("stopped");
            let _ = signal_hook::low_level::emulate_default_handler(SIGTERM);
        }
    });
}

/// Nothing to do: there is no such signal.
#[cfg(not(unix))]
pub(crate) fn on_termination() {}

/// Says something to people. Where even that fails, nobody is there to hear it.
pub(crate) fn complain(words: &str) {
    let _ = writeln!(std::io::stderr().lock(), "{words}");
}

/// Says what is suspicious, to people.
pub(crate) fn warn(warnings: &[String]) {
    let on_terminal = std::io::stderr().is_terminal();
    for warning in warnings {
        let line = format!("warning: {}", crate::project::render::harmless(warning));
        if on_terminal {
            wrap(&line, WIDTH).iter().for_each(|line| complain(line));
        } else {
            complain(&line);
        }
    }
}

/// Whether to colour what goes to a stream: a terminal, and `NO_COLOR` not set.
pub(crate) fn colour(stream: &impl IsTerminal) -> bool {
    let no_color = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
    let dumb = std::env::var_os("TERM").is_some_and(|value| value == "dumb");
    stream.is_terminal() && !no_color && !dumb
}

/// The answer, on standard output. A reader that has gone away (`| head`) is no fault.
pub(crate) fn answer(text: &str) -> Result<(), Error> {
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != ErrorKind::BrokenPipe => {
            Err(Error::Writing { what: "standard output".to_owned(), why: error.to_string() })
        }
        _ => Ok(()),
    }
}

/// A file to be, already begun beside its place, so that a folder that cannot be written to is found out
/// before the work.
#[derive(Debug)]
pub(crate) struct Output {
    path: PathBuf,
    begun: NamedTempFile,
}

impl Output {
    /// Begins a file.
    pub(crate) fn begin(path: &Path) -> Result<Self, Error> {
        let refuse = |why: String, help: &'static str| Error::Place { path: path.to_path_buf(), why, help };
        // "a/" has the file name "a", and only its writing would fail.
        let ends_as_folder = path.as_os_str().to_string_lossy().ends_with(std::path::is_separator);
        if path.file_name().is_none() || ends_as_folder || path.is_dir() {
            return Err(refuse("this is a folder".to_owned(), "name a file"));
        }
        let begun = begin_in(folder_of(path)).map_err(|error| {
            refuse(
                format!("cannot be written: {}", bare(&error)),
                "the folder must be there and allow writing",
            )
        })?;
        unfinished().push(begun.path().to_path_buf());
        Ok(Self { path: path.to_path_buf(), begun })
    }

    /// Writes the contents and puts the file into its place in one step.
    pub(crate) fn finish(mut self, contents: &[u8]) -> Result<(), Error> {
        self.fill(contents)?;
        self.replace()
    }

    /// As [`Output::finish`], but a file that is already there stays as it is.
    pub(crate) fn finish_new(mut self, contents: &[u8]) -> Result<(), Error> {
        self.fill(contents)?;
        let path = self.path.clone();
        self.place(|begun| begun.persist_noclobber(&path).map_err(|error| error.error))
    }

    /// Writes the contents, which are not yet in their place.
    fn fill(&mut self, contents: &[u8]) -> Result<(), Error> {
        let what = || self.path.display().to_string();
        let filled = keep_what_was_read(&self.path).and_then(|()| {
            let written = self.begun.write_all(contents).and_then(|()| self.begun.as_file().sync_all());
            written.map_err(|error| Error::Writing { what: what(), why: bare(&error) })
        });
        if filled.is_err() {
            unfinished().retain(|path| *path != self.begun.path());
        }
        filled
    }

    /// Puts what was filled into its place, over what may be there.
    fn replace(self) -> Result<(), Error> {
        let path = self.path.clone();
        self.place(|begun| begun.persist(&path).map_err(|error| error.error))
    }

    fn place(self, how: impl FnOnce(TempPath) -> std::io::Result<()>) -> Result<(), Error> {
        let begun = self.begun.path().to_path_buf();
        let placed = how(self.begun.into_temp_path());
        unfinished().retain(|path| *path != begun);
        let what = self.path.display().to_string();
        placed.map_err(|error| Error::Writing { what, why: error.to_string() })
    }
}

fn folder_of(path: &Path) -> &Path {
    path.parent().filter(|parent| !parent.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

/// The system's words alone: the name of the passing file beside the place says nothing to anybody.
fn bare(error: &std::io::Error) -> String {
    let words = error.to_string();
    words.split(" at path ").next().unwrap_or(&words).to_owned()
}

/// The first line of a file, as far as a heading may reach.
fn first_line(path: &Path) -> Option<String> {
    let mut line = Vec::new();
    let file = fs::File::open(path).ok()?;
    BufReader::new(file.take(10_000)).read_until(b'\n', &mut line).ok()?;
    String::from_utf8(line).ok()
}

fn begin_in(folder: &Path) -> std::io::Result<NamedTempFile> {
    let mut builder = Builder::new();
    builder.prefix(".strutwise-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // As for any file that a program makes: the system's mask takes off what it does not allow.
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    builder.tempfile_in(folder)
}

/// A folder to be filled.
#[derive(Debug)]
pub(crate) struct Folder {
    path: PathBuf,
}

impl Folder {
    /// Looks whether a folder can be made or written to, without making it.
    pub(crate) fn look_at(path: &Path) -> Result<Self, Error> {
        let refuse = |why: String| Error::Place {
            path: path.to_path_buf(),
            why,
            help: "name a folder that is there, or one to be made in a folder that is",
        };
        if path.exists() && !path.is_dir() {
            return Err(refuse("this is a file, not a folder".to_owned()));
        }
        let there = if path.is_dir() { path } else { folder_of(path) };
        begin_in(there).map_err(|error| refuse(format!("cannot be written to: {}", bare(&error))))?;
        Ok(Self { path: path.to_path_buf() })
    }

    /// As [`Folder::write`] for the sheets of a check. Sheets that an earlier check left there and this one does not
    /// write would read as if they belonged to it: they are taken away, known by name and first line, and told;
    /// a file of such a name with another first line stays, and is told too.
    pub(crate) fn write_sheets(self, files: Vec<(String, Vec<u8>)>) -> Result<(), Error> {
        let folder = self.path.clone();
        let written: Vec<String> = files.iter().map(|(name, _)| name.clone()).collect();
        self.write(files)?;
        let (mut gone, mut kept) = (Vec::new(), Vec::new());
        for name in sheets::names().into_iter().filter(|name| written.iter().all(|new| new != name)) {
            let path = folder.join(name);
            // A link is nothing that a check has written.
            let is_file = path.symlink_metadata().is_ok_and(|found| found.is_file());
            if !is_file || keep_what_was_read(&path).is_err() {
                continue;
            }
            let ours = first_line(&path).is_some_and(|line| sheets::is_sheet(name, &line));
            if ours && fs::remove_file(&path).is_ok() { gone.push(name) } else { kept.push(name) }
        }
        if !gone.is_empty() {
            let names = gone.join(", ");
            complain(&format!("{}: took away what an earlier check had left: {names}", folder.display()));
        }
        if !kept.is_empty() {
            let names = kept.join(", ");
            complain(&format!("warning: {}: not of this check, though so named: {names}", folder.display()));
        }
        Ok(())
    }

    /// Makes the folder where it is not there, and writes the files: all of them are filled before the first
    /// takes its place, so that a disk that fills up leaves what was there.
    pub(crate) fn write(self, files: Vec<(String, Vec<u8>)>) -> Result<(), Error> {
        if !self.path.is_dir() {
            fs::create_dir(&self.path).map_err(|error| Error::Writing {
                what: self.path.display().to_string(),
                why: error.to_string(),
            })?;
        }
        files.iter().try_for_each(|(name, _)| keep_what_was_read(&self.path.join(name)))?;
        let mut outputs = Vec::new();
        for (name, contents) in files {
            outputs.push((Output::begin(&self.path.join(name))?, contents));
        }
        outputs.iter_mut().try_for_each(|(output, contents)| output.fill(contents))?;
        outputs.into_iter().try_for_each(|(output, _)| output.replace())
    }
}
