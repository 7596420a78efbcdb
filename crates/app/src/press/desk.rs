//! Printing through the desktop: its print service where there is one, else its viewer for PDF.

use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use loomwright_papers::Paper;

use crate::files;
use crate::texts::PrinterWords;

/// What the desktop prints and shows papers with. Tests put programs of their own in place.
#[derive(Debug, Clone)]
pub struct Desk {
    /// The print service's program, called as POSIX has `lp`; nothing where the desktop has none of the kind.
    pub printer: Option<OsString>,
    /// The program that opens a file in the viewer for its kind, with what stands before the file.
    pub viewer: Vec<OsString>,
    /// Where papers lie until they are printed.
    pub folder: PathBuf,
}

impl Default for Desk {
    fn default() -> Self {
        let viewer: &[&str] = if cfg!(target_os = "windows") {
            &["explorer"]
        } else if cfg!(target_os = "macos") {
            &["open"]
        } else {
            &["xdg-open"]
        };
        let dirs = directories::ProjectDirs::from("", "", "loomwright");
        let folder = dirs.map_or_else(std::env::temp_dir, |dirs| dirs.cache_dir().to_path_buf());
        Self {
            printer: cfg!(target_os = "linux").then(|| "lp".into()),
            viewer: viewer.iter().map(OsString::from).collect(),
            folder: folder.join("to print"),
        }
    }
}

impl Desk {
    /// Prints a PDF, or opens it for printing, and says which.
    ///
    /// # Errors
    /// Neither can be done, or the disk refuses; one sentence.
    pub fn print(&self, pdf: &[u8], name: &str, paper: Paper) -> anyhow::Result<String> {
        files::make_folder(&self.folder)?;
        let path = self.folder.join(format!("{name}.pdf"));
        files::write(&path, pdf)?;
        let Some(printer) = &self.printer else {
            self.open(&path)?;
            return Ok(PrinterWords::opened_in_the_viewer_for_pdf().to_owned());
        };
        match sent(printer, &path, name, paper) {
            Ok(()) => Ok(PrinterWords::sent_to_the_printer(name)),
            Err(says) => {
                self.open(&path)?;
                Ok(PrinterWords::opened_instead(&says))
            }
        }
    }

    fn open(&self, path: &Path) -> anyhow::Result<()> {
        let [program, before @ ..] = self.viewer.as_slice() else {
            anyhow::bail!(PrinterWords::no_viewer(path.display()));
        };
        let mut viewer = Command::new(program);
        viewer.args(before).arg(path);
        viewer.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
        match viewer.spawn() {
            Ok(mut child) => {
                // Viewers stay open for hours; somebody has to take their leave.
                std::thread::spawn(move || drop(child.wait()));
                Ok(())
            }
            Err(_) => anyhow::bail!(PrinterWords::neither_printer_nor_viewer(path.display())),
        }
    }
}

/// Hands a file to the print service; where that refuses, says why as the rest of a sentence.
fn sent(printer: &OsString, path: &Path, title: &str, paper: Paper) -> Result<(), String> {
    let media = format!("media={}", paper.title());
    let mut service = Command::new(printer);
    // Drawings are to scale and labels are cut out: nothing may be shrunk to fit.
    service.args(["-t", title, "-o", &media, "-o", "print-scaling=none", "--"]).arg(path);
    let Ok(output) = service.stdin(Stdio::null()).output() else {
        return Err(PrinterWords::there_is_no_print_service_here().to_owned());
    };
    if output.status.success() {
        return Ok(());
    }
    let says = String::from_utf8_lossy(&output.stderr);
    let says = says.lines().next().unwrap_or_default().trim().trim_end_matches('.');
    let says = says.rsplit(": ").next().unwrap_or_default().trim_start_matches("Error - ");
    Err(if says.is_empty() {
        PrinterWords::the_print_service_refused().to_owned()
    } else {
        PrinterWords::the_print_service_says(says)
    })
}
