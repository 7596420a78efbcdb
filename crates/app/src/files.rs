//! The only place that touches the disk.
#![expect(clippy::disallowed_methods, reason = "this module is where the disk is touched")]

use std::collections::BTreeMap;
use std::ffi::OsStr;
use std::io::Read as _;
use std::path::{Path, PathBuf};

use anyhow::Context as _;
use loomwright_circuit::Car;

/// What a variable of the environment says of language and region.
pub fn said_by_system(variable: &str) -> Option<String> {
    std::env::var(variable).ok()
}

/// Reads a whole file, or standard input for `-`; refuses what is larger than any car file can be.
///
/// # Errors
/// A file that cannot be read, or is too large.
pub fn read(path: &Path) -> anyhow::Result<Vec<u8>> {
    const MOST_BYTES: u64 = 64 << 20;
    let mut bytes = Vec::new();
    if path == Path::new("-") {
        std::io::stdin()
            .take(MOST_BYTES + 1)
            .read_to_end(&mut bytes)
            .map_err(|error| refusal("read", path, &error))?;
    } else {
        let file = std::fs::File::open(path).map_err(|error| refusal("open", path, &error))?;
        file.take(MOST_BYTES + 1)
            .read_to_end(&mut bytes)
            .map_err(|error| refusal("read", path, &error))?;
    }
    anyhow::ensure!(
        bytes.len() as u64 <= MOST_BYTES,
        "{} is larger than 64 MB; no car file is",
        name(path)
    );
    Ok(bytes)
}

/// Whether something stands at a path: a file, a folder, or standard input for `-`.
pub fn exists(path: &Path) -> bool {
    path == Path::new("-") || path.exists()
}

/// A path in a message.
fn name(path: &Path) -> String {
    match path.to_str() {
        Some("-") => "standard input".to_owned(),
        Some("") => "a file without a name".to_owned(),
        _ => path.display().to_string(),
    }
}

/// Why the disk refused, in one sentence for somebody who knows no error numbers.
fn refusal(verb: &str, path: &Path, error: &std::io::Error) -> anyhow::Error {
    anyhow::anyhow!("cannot {verb} {}: {}", name(path), reason(error))
}

fn reason(error: &std::io::Error) -> String {
    use std::io::ErrorKind as Kind;
    let known = match error.kind() {
        Kind::NotFound => "there is no such file or folder",
        Kind::PermissionDenied => "permission is refused",
        Kind::IsADirectory => "it is a folder, not a file",
        Kind::NotADirectory => "part of its path is a file, not a folder",
        Kind::AlreadyExists => "a file of that name stands in the way",
        Kind::ReadOnlyFilesystem => "the disk can only be read",
        Kind::StorageFull | Kind::QuotaExceeded => "the disk is full",
        Kind::InvalidFilename => "no file can have that name",
        _ => "",
    };
    if !known.is_empty() {
        return known.to_owned();
    }
    let text = error.to_string();
    text.split_once(" (os error").map_or(text.as_str(), |(says, _number)| says).to_lowercase()
}

/// Writes a file so that a crash leaves either the old or the new content: a new file beside it, then a rename.
///
/// # Errors
/// A path that names no file, or a disk that refuses.
pub fn write(path: &Path, bytes: &[u8]) -> anyhow::Result<()> {
    use std::io::Write as _;
    let name = path.file_name().with_context(|| format!("{} names no file", path.display()))?;
    let mut beside = name.to_owned();
    beside.push(".part");
    let beside = path.with_file_name(beside);
    let attempt = || -> std::io::Result<()> {
        let mut file = std::fs::File::create(&beside)?;
        file.write_all(bytes)?;
        file.sync_all()?;
        std::fs::rename(&beside, path)
    };
    attempt().map_err(|error| refusal("write", path, &error))
}

/// A file name made of words, such as a car's name: small letters, digits and dashes.
pub fn name_of(name: &str) -> String {
    let letters = name
        .chars()
        .map(|letter| if letter.is_alphanumeric() { letter.to_ascii_lowercase() } else { '-' });
    let joined: String = letters.collect();
    let words: Vec<&str> = joined.split('-').filter(|word| !word.is_empty()).collect();
    words.join("-")
}

/// Whether there is such a folder.
pub fn is_folder(path: &Path) -> bool {
    path.is_dir()
}

/// Makes a folder and its parents.
///
/// # Errors
/// A disk that refuses.
pub fn make_folder(path: &Path) -> anyhow::Result<PathBuf> {
    std::fs::create_dir_all(path).map_err(|error| refusal("make the folder", path, &error))?;
    Ok(path.to_path_buf())
}

/// The files of a folder, by name; folders in it are left out.
///
/// # Errors
/// A disk that refuses, with the place.
pub fn in_folder(path: &Path) -> anyhow::Result<BTreeMap<String, Vec<u8>>> {
    let refused = |error: std::io::Error| refusal("read the folder", path, &error);
    let mut files = BTreeMap::new();
    for entry in std::fs::read_dir(path).map_err(refused)? {
        let entry = entry.map_err(refused)?;
        let name = entry.file_name().to_string_lossy().into_owned();
        if entry.file_type().map_err(refused)?.is_file() {
            files.insert(name, read(&entry.path())?);
        }
    }
    Ok(files)
}

/// By what a file's content is known again.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub struct Mark {
    n_bytes: usize,
    hash: u64,
}

impl Mark {
    /// The mark of some content: the same in every run, because unsaved work is kept with that of its file.
    pub fn of(bytes: &[u8]) -> Self {
        Self { n_bytes: bytes.len(), hash: fnv_1a(bytes) }
    }

    /// The mark of a file as it is now; nothing where there is none that can be read.
    pub fn on_disk(path: &Path) -> Option<Self> {
        read(path).ok().map(|bytes| Self::of(&bytes))
    }
}

/// The hash FNV-1a of 64 bits, RFC 9923. That of the standard library may be another one in its next version.
fn fnv_1a(bytes: &[u8]) -> u64 {
    const OFFSET_BASIS: u64 = 0xcbf2_9ce4_8422_2325;
    const PRIME: u64 = 0x0000_0100_0000_01b3;
    bytes.iter().fold(OFFSET_BASIS, |hash, byte| (hash ^ u64::from(*byte)).wrapping_mul(PRIME))
}

/// Opens a file in another window of this program, which says that it is the copy on the disk.
///
/// # Errors
/// A system that starts no further program.
pub fn open_window(path: &Path) -> anyhow::Result<()> {
    let program = std::env::current_exe().context("this program cannot be found")?;
    std::process::Command::new(program)
        .args([OsStr::new("--copy"), path.as_os_str()])
        .spawn()
        .context("no other window opens")?;
    Ok(())
}

/// What was opened.
#[derive(Debug)]
pub struct Opened {
    /// The car.
    pub car: Car,
    /// Where it is saved; nothing for a sketch, which must first be saved as a car file.
    pub path: Option<PathBuf>,
    /// By what the file's content is known again.
    pub mark: Mark,
}

/// Opens a car file, or a sketch, which is arranged as a drawing.
///
/// # Errors
/// A file that cannot be read, or is neither a car file nor a sketch; one sentence.
pub fn open(path: &Path) -> anyhow::Result<Opened> {
    let bytes = read(path)?;
    let mark = Mark::of(&bytes);
    let name = name(path);
    let verb = if path == Path::new("-") { "read" } else { "open" };
    let is_named_so = path.extension().is_some_and(|it| it.eq_ignore_ascii_case("json"));
    if is_named_so || looks_like_car_file(&bytes) {
        let car = car_from_bytes(&bytes).with_context(|| format!("cannot {verb} {name}"))?;
        // Nothing can be saved to where standard input came from.
        let path = (path != Path::new("-")).then(|| path.to_path_buf());
        return Ok(Opened { car, path, mark });
    }
    let text = String::from_utf8(bytes).map_err(|_error| {
        anyhow::anyhow!("{name} is neither a car file nor a sketch; it is no text")
    })?;
    let car = arranged_from_sketch(&text).with_context(|| format!("cannot {verb} {name}"))?;
    Ok(Opened { car, path: None, mark })
}

/// Whether a file says of itself that it holds part types, not a car.
pub fn holds_parts(path: &Path) -> bool {
    path != Path::new("-") && read(path).is_ok_and(|bytes| loomwright_circuit::are_parts(&bytes))
}

/// Gives a file another name in its folder, one that is free, and says which.
///
/// # Errors
/// A disk that refuses.
pub fn set_aside(path: &Path) -> anyhow::Result<PathBuf> {
    let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let aside = (1..=1000_u32).map(|n| path.with_file_name(format!("{name}.damaged-{n}")));
    let aside = aside.into_iter().find(|aside| !aside.exists()).unwrap_or_default();
    std::fs::rename(path, &aside).map_err(|error| refusal("set aside", path, &error))?;
    Ok(aside)
}

/// Saves a car file; the version before is kept beside it under the same name with `.bak` behind.
///
/// # Errors
/// A disk that refuses; the file is then as it was before.
pub fn save(car: &Car, path: &Path) -> anyhow::Result<Mark> {
    keep_version_before(path)?;
    let bytes = car_to_bytes(car);
    write(path, &bytes)?;
    Ok(Mark::of(&bytes))
}

fn keep_version_before(path: &Path) -> anyhow::Result<()> {
    if !path.exists() {
        return Ok(());
    }
    let mut name = path.file_name().unwrap_or_default().to_owned();
    name.push(".bak");
    let before = path.with_file_name(name);
    std::fs::copy(path, &before)
        .map(drop)
        .map_err(|error| refusal("keep the version before as", &before, &error))
}

/// Car files are JSON objects; sketches never begin with a brace.
fn looks_like_car_file(bytes: &[u8]) -> bool {
    let text = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    text.iter().find(|byte| !byte.is_ascii_whitespace()) == Some(&b'{')
}

/// Removes a file, if it is there.
///
/// # Errors
/// A disk that refuses.
pub fn remove(path: &Path) -> anyhow::Result<()> {
    match std::fs::remove_file(path) {
        Err(error) if error.kind() != std::io::ErrorKind::NotFound => {
            Err(refusal("remove", path, &error))
        }
        _ => Ok(()),
    }
}

/// A car file's bytes as a car.
///
/// # Errors
/// What is wrong, with its place.
pub fn car_from_bytes(bytes: &[u8]) -> anyhow::Result<Car> {
    Ok(loomwright_circuit::load(bytes)?)
}

/// A car as a car file's bytes: the same car always gives the same ones.
pub fn car_to_bytes(car: &Car) -> Vec<u8> {
    loomwright_circuit::save(car)
}

/// A sketch as a car.
///
/// # Errors
/// Every line that is not understood.
pub fn car_from_sketch(text: &str) -> anyhow::Result<Car> {
    Ok(loomwright_sketch::parse(text)?)
}

/// A sketch as a car whose parts have places, to be drawn.
fn arranged_from_sketch(text: &str) -> anyhow::Result<Car> {
    let mut car = car_from_sketch(text)?;
    let patch = car.plan(loomwright_drawing::arrange(&car))?;
    car.apply(&patch);
    Ok(car)
}

/// The clock, seconds since 1970.
pub fn now_secs() -> u64 {
    let since_1970 = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH);
    since_1970.map_or(0, |time| time.as_secs())
}

/// Makes a file and locks it for as long as it is kept open; nothing if somebody else has it.
pub fn try_lock(path: &Path) -> Option<std::fs::File> {
    let file = std::fs::File::create(path).ok()?;
    file.try_lock().ok().map(|()| file)
}

/// Today's date, as `2026-03-31`, by the clock of Greenwich.
pub fn today() -> String {
    day_of(now_secs())
}

/// The time of day, as `07:14`, by the clock of Greenwich.
pub fn clock_of(secs: u64) -> String {
    let minutes = secs / 60 % (24 * 60);
    format!("{:02}:{:02}", minutes / 60, minutes % 60)
}

/// The date of a time, as `2026-03-31`, by the clock of Greenwich.
pub fn day_of(secs: u64) -> String {
    let (year, month, day) = date_of(secs / 86_400);
    format!("{year:04}-{month:02}-{day:02}")
}

/// Year, month and day of a number of days since 1 January 1970.
fn date_of(days: u64) -> (u64, u64, u64) {
    // Years of 400 years' cycles that begin in March, so that the leap day comes last.
    let shifted = days + 719_468;
    let (cycle, day_of_cycle) = (shifted / 146_097, shifted % 146_097);
    let year_of_cycle =
        (day_of_cycle - day_of_cycle / 1460 + day_of_cycle / 36_524 - day_of_cycle / 146_096) / 365;
    let day_of_year =
        day_of_cycle - (365 * year_of_cycle + year_of_cycle / 4 - year_of_cycle / 100);
    let march_month = (5 * day_of_year + 2) / 153;
    let day = day_of_year - (153 * march_month + 2) / 5 + 1;
    let month = if march_month < 10 { march_month + 3 } else { march_month - 9 };
    let year = year_of_cycle + cycle * 400 + u64::from(month <= 2);
    (year, month, day)
}

/// The path of the next car file beside this one that is not there yet: "van 2.loom.json".
pub fn free_beside(path: &Path) -> Option<PathBuf> {
    let name = path.file_name()?.to_string_lossy();
    let stem = name.strip_suffix(".loom.json").or_else(|| name.strip_suffix(".json"))?;
    let numbered = |n: usize| path.with_file_name(format!("{stem} {n}.loom.json"));
    (2..100).map(numbered).find(|path| !exists(path))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Test vectors of RFC 9923, appendix on FNV-1a of 64 bits (memory).
    #[test]
    fn content_is_hashed_by_the_published_rule() {
        assert_eq!(fnv_1a(b""), 0xcbf2_9ce4_8422_2325);
        assert_eq!(fnv_1a(b"a"), 0xaf63_dc4c_8601_ec8c);
        assert_eq!(fnv_1a(b"foobar"), 0x8594_4171_f739_67e8);
    }

    #[test]
    fn another_name_is_offered_beside_those_that_are_taken() {
        let folder = std::env::temp_dir().join(format!("loomwright-free-{}", std::process::id()));
        std::fs::create_dir_all(&folder).expect("a folder");
        for taken in ["van.loom.json", "van 2.loom.json"] {
            std::fs::write(folder.join(taken), "{}").expect("it is written");
        }
        let free = free_beside(&folder.join("van.loom.json"));
        assert_eq!(free, Some(folder.join("van 3.loom.json")));
        std::fs::remove_dir_all(&folder).expect("it is cleared");
    }

    #[test]
    fn dates_follow_the_calendar() {
        assert_eq!(date_of(0), (1970, 1, 1));
        assert_eq!(date_of(59), (1970, 3, 1));
        assert_eq!(date_of(11_016), (2000, 2, 29));
        assert_eq!(date_of(20_544), (2026, 4, 1));
    }
}
