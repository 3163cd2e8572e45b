//! Files from the disk as text, within limits.

use std::fs::File;
use std::io::Read;
use std::path::{Component, Path};

use super::fault::{ProjectError, SourceText};
use super::key::Key;
use super::table::Table;

/// Largest project file \[10⁶ bytes\].
pub const PROJECT_LIMIT_MB: u64 = 1;
/// Largest companion file, a mesh or a sheet of joints \[10⁶ bytes\].
pub const COMPANION_LIMIT_MB: u64 = 50;

/// A text file, no larger than the limit.
///
/// # Errors
/// Not there, a folder, not readable, too large, not UTF-8.
pub fn read(path: &Path, limit_mb: u64) -> Result<SourceText, ProjectError> {
    let asked = || path.to_path_buf();
    let failed = |error: &std::io::Error| match error.kind() {
        std::io::ErrorKind::NotFound => ProjectError::NoSuchFile { path: asked() },
        _ => ProjectError::Unreadable { path: asked(), why: error.to_string() },
    };
    let metadata = std::fs::metadata(path).map_err(|error| failed(&error))?;
    if metadata.is_dir() {
        return Err(ProjectError::Folder { path: asked() });
    }
    let limit = limit_mb * 1_000_000;
    if metadata.len() > limit {
        return Err(ProjectError::TooLarge { path: asked(), limit_mb });
    }
    // What the system says of a file's size does not bind a pipe or a device: read no further anyway.
    let mut bytes = Vec::new();
    let file = File::open(path).map_err(|error| failed(&error))?;
    file.take(limit + 1).read_to_end(&mut bytes).map_err(|error| failed(&error))?;
    if bytes.len() as u64 > limit {
        return Err(ProjectError::TooLarge { path: asked(), limit_mb });
    }
    let name = path.display().to_string();
    match String::from_utf8(bytes) {
        // A byte order mark is no part of the text.
        Ok(text) => {
            Ok(SourceText { name, text: text.strip_prefix('\u{feff}').map_or(text.clone(), str::to_owned) })
        }
        Err(error) => {
            let at = error.utf8_error().valid_up_to();
            let bytes = error.into_bytes();
            let before = String::from_utf8_lossy(&bytes[..at]).into_owned();
            let (line, column) = SourceText { name, text: before }.line_and_column(at);
            Err(ProjectError::NotUtf8 {
                path: asked(),
                line,
                column,
                byte: bytes.get(at).copied().unwrap_or(0),
            })
        }
    }
}

/// A file that a key names, from the project's own folder; kept for the checksum.
///
/// The answer is its number among the files read, and its text; a fault at the key where it cannot be had.
#[must_use]
pub fn companion(table: &Table<'_, '_>, key: &Key) -> Option<(usize, String)> {
    let name = within(&table.reading.folder, table.need_text(key)?);
    let relative = Path::new(&name);
    if !relative.components().all(|part| matches!(part, Component::Normal(_) | Component::CurDir)) {
        let help = "keep the file in the project's folder (or one below it) and name it from there";
        table.fault(
            "outside-folder",
            key,
            format!("is {name:?}, which leads out of the project's folder"),
            help,
        );
        return None;
    }
    // Read before: the same text again, whatever has become of the file since.
    if let Some(known) = table.reading.known.iter().find(|known| known.name == name) {
        return Some((table.reading.keep(known.clone()), known.text.clone()));
    }
    let path = table.reading.folder.join(relative);
    if std::fs::metadata(&path).is_ok_and(|metadata| !metadata.is_file() && !metadata.is_dir()) {
        table.fault("companion", key, format!("is {name:?}, which is no ordinary file"), "name a file");
        return None;
    }
    // A link may lead elsewhere in the folder, but not out of it.
    if let (Ok(real), Ok(home)) = (path.canonicalize(), home_of(&table.reading.folder))
        && !real.starts_with(home)
    {
        let help = "keep the file itself in the project's folder (or one below it), not a link to it";
        table.fault(
            "outside-folder",
            key,
            format!("is {name:?}, a link that leads out of the project's folder"),
            help,
        );
        return None;
    }
    match read(&path, COMPANION_LIMIT_MB) {
        Ok(source) => {
            let text = source.text.clone();
            Some((table.reading.keep(SourceText { name, text: source.text }), text))
        }
        Err(ProjectError::NoSuchFile { .. }) => {
            let help = "names are taken from the folder of the project file; capitals count";
            table.fault("no-such-file", key, format!("is {name:?}; there is no such file"), help);
            None
        }
        Err(error) => {
            // The place of the fault in the other file is part of the words.
            table.fault("companion", key, format!("cannot be used: {error}"), "mend or replace the file");
            None
        }
    }
}

/// A file's name from the project's folder on, where it is written with the whole way to there; else as it is.
fn within(folder: &Path, name: String) -> String {
    let path = Path::new(&name);
    if !path.is_absolute() {
        return name;
    }
    let (Ok(real), Ok(home)) = (path.canonicalize(), home_of(folder)) else { return name };
    real.strip_prefix(home).ok().and_then(Path::to_str).map_or(name.clone(), str::to_owned)
}

/// The folder of the project with its own links followed.
fn home_of(folder: &Path) -> std::io::Result<std::path::PathBuf> {
    if folder.as_os_str().is_empty() { Path::new(".").canonicalize() } else { folder.canonicalize() }
}
