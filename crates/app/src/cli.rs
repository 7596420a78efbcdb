//! The command line: one call in, text or JSON out, an exit code back.

mod convert;
mod drain;
mod faults;
mod findings;
mod input;
mod lines;
mod measure;
mod papers;
mod reference;
mod survey;
mod touches;
mod why;

use std::ffi::OsString;
use std::io::Write;
use std::path::PathBuf;

use clap::{Parser, Subcommand, ValueEnum};

use loomwright_units::{DecimalMark, decimal_mark, set_decimal_mark};

use crate::files;

/// What a call of the program comes to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// Done, nothing found at or above the level asked for.
    Done,
    /// Findings at or above the level.
    Found,
}

/// Draw the wiring of the car you have and the change you want; work its switches before you cut a wire.
#[derive(Debug, Parser)]
#[command(
    name = "loomwright",
    bin_name = "loomwright",
    version,
    term_width = 80,
    args_conflicts_with_subcommands = true,
    disable_help_subcommand = true
)]
struct Call {
    #[command(subcommand)]
    verb: Option<Verb>,
    /// A car file or a sketch to open in the window.
    file: Option<PathBuf>,
    /// Say in the window that it shows the copy on the disk, beside another window with a drawing of one's own.
    #[arg(long, requires = "file")]
    copy: bool,
}

#[derive(Debug, Subcommand)]
enum Verb {
    /// Say what is wrong, over all reachable states.
    ///
    /// Findings that were accepted in the car file are listed apart and do not count for the exit code, until their
    /// figures differ by more than a tenth.
    Check {
        /// A car file or a sketch; `-` reads standard input.
        file: PathBuf,
        /// The least level that counts and is shown; without it all is shown, and faults and dangers count.
        #[arg(long, value_enum)]
        level: Option<LevelName>,
        /// One JSON object instead of text.
        #[arg(long)]
        json: bool,
        #[command(flatten)]
        numbers: Numbers,
    },
    /// Solve one state: from rest, the moves in order, then the setting.
    Measure {
        /// A car file or a sketch; `-` reads standard input.
        file: PathBuf,
        /// Moves in order, as CONTROL=POSITION with commas between.
        #[arg(long, value_name = "MOVES")]
        after: Option<String>,
        /// A control's position, put in together with the others given so.
        #[arg(long = "set", value_name = "NAME=POSITION")]
        set: Vec<String>,
        /// Say how the figures of a wire (W3), terminal (H1.1) or part (H1) come about.
        #[arg(long, value_name = "NAME")]
        why: Option<String>,
        /// One JSON object instead of text.
        #[arg(long)]
        json: bool,
        #[command(flatten)]
        numbers: Numbers,
    },
    /// Extremes over all reachable states, with the moves that lead to each.
    Survey {
        /// A car file or a sketch; `-` reads standard input.
        file: PathBuf,
        #[command(flatten)]
        also: Also,
        /// One JSON object instead of text.
        #[arg(long)]
        json: bool,
        #[command(flatten)]
        numbers: Numbers,
    },
    /// Write the garage pack: PDF, SVG, PNG and CSV.
    Papers {
        /// A car file or a sketch; `-` reads standard input.
        file: PathBuf,
        /// The folder to write into.
        #[arg(long, value_name = "DIR")]
        to: PathBuf,
        /// The paper that the pack is laid out for; drawings fill it.
        #[arg(long, value_enum, default_value_t = PaperName::A4)]
        paper: PaperName,
        /// Black and white: letters alone tell the wires apart.
        #[arg(long)]
        mono: bool,
        /// What the drawings show.
        #[arg(long, value_enum, default_value_t = ShowName::Marked)]
        show: ShowName,
        /// Write one page only, as page-N.pdf.
        #[arg(long, value_name = "N")]
        page: Option<usize>,
        /// Fineness of the PNGs, dots per inch.
        #[arg(long, value_name = "N", default_value_t = 150,
            value_parser = clap::value_parser!(u32).range(20..=1200))]
        dpi: u32,
        /// A folder of page templates to use instead of our own.
        #[arg(long, value_name = "DIR")]
        templates: Option<PathBuf>,
        #[command(flatten)]
        numbers: Numbers,
    },
    /// Turn a sketch into a car file, or a car file into a sketch.
    Convert {
        /// A car file or a sketch; `-` reads standard input.
        file: PathBuf,
        /// The file to write: `.loom.json` or anything else for a sketch; `-` writes a sketch to standard output.
        #[arg(long, value_name = "FILE")]
        to: PathBuf,
    },
    /// List the part types with their terminals.
    Parts {
        /// A car file, of which the part types of its own are listed, or a file of part types.
        file: Option<PathBuf>,
    },
    /// List the kits, or print one as a sketch.
    ///
    /// A kit is a circuit that somebody has worked out already. As a sketch it is that of a 12 V negative-earth car with
    /// British colours; in the window it fits itself to the car.
    Kits {
        /// The name of a kit.
        name: Option<String>,
    },
    /// List the rules, or show the help of one.
    Rules {
        /// The code of a rule.
        code: Option<String>,
        /// Print instead all that the rules say, one text to a line, for a translator.
        #[arg(long, conflicts_with = "code")]
        texts: bool,
    },
    /// Print the JSON Schema of the car file.
    Schema,
}

/// How numbers are written.
#[derive(Debug, Clone, Copy, clap::Args)]
struct Numbers {
    /// The decimal mark of what people read; JSON and tables have points.
    #[arg(long, value_enum, value_name = "MARK", default_value_t = MarkName::Point)]
    decimal_mark: MarkName,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum MarkName {
    /// 12.5
    Point,
    /// 12,5
    Comma,
}

impl Verb {
    /// The decimal mark of what it writes.
    fn mark(&self) -> DecimalMark {
        match self {
            Self::Check { json: false, numbers, .. }
            | Self::Measure { json: false, numbers, .. }
            | Self::Survey { json: false, numbers, .. }
            | Self::Papers { numbers, .. }
                if numbers.decimal_mark == MarkName::Comma =>
            {
                DecimalMark::Comma
            }
            _ => DecimalMark::Point,
        }
    }
}

/// What a survey tells beside the extremes.
#[derive(Debug, Clone, Default, clap::Args)]
struct Also {
    /// What becomes of each wire that chafes through and touches the body.
    #[arg(long)]
    touches: bool,
    /// What each single fault stops, sets going, opens, heats and breaks of the promises.
    #[arg(long)]
    faults: bool,
    /// Who drains the battery, how long it lasts, and what the generator gives.
    #[arg(long)]
    drain: bool,
    /// With --drain: a control's position, put in together with the others given so.
    #[arg(long = "set", value_name = "NAME=POSITION", requires = "drain")]
    set: Vec<String>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum LevelName {
    /// Fire, sudden dark, an engine that will not stop.
    Danger,
    /// It will not work, or will fail early; and dangers.
    Fault,
    /// It could be better; and all else.
    Advice,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum ShowName {
    /// The whole car, the alteration marked.
    Marked,
    /// The car as found.
    Before,
    /// The car after the alteration.
    After,
    /// The alteration alone.
    Alteration,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum PaperName {
    /// 210 × 297 mm.
    A4,
    /// 297 × 420 mm: large drawings stand on it whole more often.
    A3,
    /// 8½ × 11 in.
    Letter,
}

/// What a call asks for.
#[derive(Debug)]
pub enum Asked {
    /// To open the window, with a file or the last one.
    Window(Option<PathBuf>),
    /// To open a window that says that it shows the copy on the disk.
    Copy(PathBuf),
    /// What the call wrote is all; the exit code.
    Exit(u8),
}

/// Runs a call, the program's name being the first of `args`. Text goes to `out`; a call or an input that is wrong
/// gives one line on `err` and exit code 2.
pub fn run(
    args: impl IntoIterator<Item = OsString>,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> Asked {
    let call = match Call::try_parse_from(args) {
        Ok(call) => call,
        Err(error) => return refused_call(&error, out, err),
    };
    let Some(verb) = call.verb else { return window(call.file, call.copy, err) };
    let before = decimal_mark();
    set_decimal_mark(verb.mark());
    let outcome = perform(verb, out);
    set_decimal_mark(before);
    match outcome {
        Ok(Outcome::Done) => Asked::Exit(0),
        Ok(Outcome::Found) => Asked::Exit(1),
        // A reader that closes the pipe early has all that it wanted.
        Err(error) if is_closed_pipe(&error) => Asked::Exit(0),
        Err(error) => {
            say(err, &format!("loomwright: {error:#}"));
            Asked::Exit(2)
        }
    }
}

/// A window on a file that is there. A word that names none may be a command mistyped, so it opens nothing.
fn window(file: Option<PathBuf>, is_copy: bool, err: &mut dyn Write) -> Asked {
    if let Some(path) = file.as_ref().filter(|path| !files::exists(path)) {
        let path = path.display();
        say(
            err,
            &format!(
                "loomwright: '{path}' is neither a command nor a file; see 'loomwright --help'"
            ),
        );
        return Asked::Exit(2);
    }
    match file {
        Some(path) if is_copy => Asked::Copy(path),
        file => Asked::Window(file),
    }
}

fn perform(verb: Verb, out: &mut dyn Write) -> anyhow::Result<Outcome> {
    match verb {
        Verb::Check { file, level, json, .. } => {
            findings::check(&input::car(&file)?, level, json, out)
        }
        Verb::Measure { file, after, set, why, json, .. } => {
            let moves = (after.as_deref(), &*set);
            measure::measure(&input::car(&file)?, moves, why.as_deref(), json, out)
        }
        Verb::Survey { file, also, json, .. } => {
            survey::survey(&input::car(&file)?, &also, json, out)
        }
        Verb::Papers { file, to, paper, mono, show, page, dpi, templates, .. } => {
            let car = input::car(&file)?;
            let options = papers::options((paper, mono), show, dpi, templates.as_deref())?;
            papers::papers(&car, &to, page, &options, out)
        }
        Verb::Convert { file, to } => convert::convert(&input::car(&file)?, &to, out),
        Verb::Parts { file } => reference::parts(file.as_deref(), out),
        Verb::Kits { name } => reference::kits(name.as_deref(), out),
        Verb::Rules { texts: true, .. } => reference::texts(out),
        Verb::Rules { code, .. } => reference::rules(code.as_deref(), out),
        Verb::Schema => reference::schema(out),
    }
}

/// Help and version go to `out` with exit code 0; anything else is one line on `err`.
fn refused_call(error: &clap::Error, out: &mut dyn Write, err: &mut dyn Write) -> Asked {
    let text = error.render().to_string();
    if !error.use_stderr() {
        say(out, text.trim_end());
        return Asked::Exit(0);
    }
    let mut lines = text.lines().map(str::trim).filter(|line| !line.is_empty());
    let mut first = lines
        .next()
        .unwrap_or("the call is not understood")
        .trim_start_matches("error: ")
        .to_owned();
    // What is missing, or what would be accepted, stands on the line below.
    if first.ends_with(':') {
        first = format!("{first} {}", lines.next().unwrap_or_default());
    } else if let Some(accepted) = lines.next().filter(|line| line.starts_with("[possible values"))
    {
        first = format!("{first} {accepted}");
    }
    say(err, &format!("loomwright: {first}; see 'loomwright --help'"));
    Asked::Exit(2)
}

fn is_closed_pipe(error: &anyhow::Error) -> bool {
    error.chain().any(|cause| {
        cause
            .downcast_ref::<std::io::Error>()
            .is_some_and(|io| io.kind() == std::io::ErrorKind::BrokenPipe)
    })
}

/// Says why the window could not open, as one line on standard error.
pub fn refuse(error: &anyhow::Error) -> std::process::ExitCode {
    say(&mut std::io::stderr(), &format!("loomwright: {error:#}"));
    std::process::ExitCode::from(2)
}

/// Writes a line where nothing more can be done if that fails.
fn say(to: &mut dyn Write, line: &str) {
    drop(writeln!(to, "{line}"));
}
