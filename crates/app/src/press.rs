//! The thread that sets the pages of the garage pack and paints them for the screen.

use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender, channel};

use loomwright_circuit::Car;
use loomwright_papers::{PageImage, Pages, pack};
use loomwright_rules::Report;

use crate::files;
use crate::texts::{PressWords, Pressing};

mod desk;
mod options;
mod under_way;

pub use desk::Desk;
pub use options::{PaperOptions, Shown};
pub use under_way::UnderWay;

/// What the pages are set from.
#[derive(Debug, Clone)]
pub struct Copy {
    /// Revision of the car, and which report on it.
    pub revision: (u64, u64),
    /// The car.
    pub car: Arc<Car>,
    /// What was found, under the numbers that the window shows.
    pub report: Report,
    /// Paper, inks, and what the drawings show.
    pub options: PaperOptions,
}

enum Job {
    Set(Box<Copy>),
    Paint { page: usize, pixels_per_pt: f64 },
    Write { copy: Box<Copy>, folder: std::path::PathBuf, under_way: UnderWay },
    Print { copy: Box<Copy>, page: Option<usize>, under_way: UnderWay },
}

/// News from the thread.
#[derive(Debug)]
pub enum News {
    /// The pages are set.
    Set {
        /// What they are set from.
        revision: (u64, u64),
        /// Their names.
        names: Vec<String>,
        /// Width and height of each, points of 1/72 inch.
        sizes: Vec<[f64; 2]>,
    },
    /// A page is painted.
    Painted {
        /// What it is set from.
        revision: (u64, u64),
        /// Which page, counted from 0.
        page: usize,
        /// Its pixels.
        image: PageImage,
    },
    /// The pack is written, or printed.
    Written(String),
    /// Nothing could be printed, in one sentence.
    NotPrinted(String),
    /// Something failed, in one sentence.
    Failed(String),
}

/// The thread, as the window holds it.
#[derive(Debug)]
pub struct Press {
    jobs: Sender<Job>,
    news: Receiver<News>,
}

impl Press {
    /// Starts the thread; `wake` is called whenever there is news.
    pub fn start(desk: Desk, wake: impl Fn() + Send + 'static) -> Self {
        let (jobs, todo) = channel();
        let (told, news) = channel();
        std::thread::spawn(move || {
            let mut pages = None;
            while let Ok(mut job) = todo.recv() {
                // Only the latest setting counts; what was asked before it is stale.
                while let (Job::Set(_) | Job::Paint { .. }, Ok(next)) = (&job, todo.try_recv()) {
                    let replaces = matches!(
                        (&job, &next),
                        (_, Job::Set(_)) | (Job::Paint { .. }, Job::Paint { .. })
                    );
                    if !replaces {
                        told_all(&mut pages, &desk, job, &told);
                    }
                    job = next;
                }
                told_all(&mut pages, &desk, job, &told);
                wake();
            }
        });
        Self { jobs, news }
    }

    /// Has the pages set.
    pub fn set(&self, copy: Copy) {
        drop(self.jobs.send(Job::Set(Box::new(copy))));
    }

    /// Has a page painted, counted from 0.
    pub fn paint(&self, page: usize, pixels_per_pt: f64) {
        drop(self.jobs.send(Job::Paint { page, pixels_per_pt }));
    }

    /// Has the pack written into a folder.
    pub fn write(&self, copy: Copy, folder: std::path::PathBuf) -> UnderWay {
        let under_way = UnderWay::default();
        let job = Job::Write { copy: Box::new(copy), folder, under_way: under_way.clone() };
        drop(self.jobs.send(job));
        under_way
    }

    /// Has the pages printed, or one of them, counted from 0.
    pub fn print(&self, copy: Copy, page: Option<usize>) -> UnderWay {
        let under_way = UnderWay::default();
        let job = Job::Print { copy: Box::new(copy), page, under_way: under_way.clone() };
        drop(self.jobs.send(job));
        under_way
    }

    /// News that has come in.
    pub fn news(&self) -> Vec<News> {
        self.news.try_iter().collect()
    }

    /// Waits for the next news, as tests do.
    pub fn wait(&self) -> Option<News> {
        self.news.recv_timeout(std::time::Duration::from_mins(2)).ok()
    }
}

/// The pages as they were last set, and what from.
struct LastSet {
    revision: (u64, u64),
    options: PaperOptions,
    pages: Pages,
}

type SetPages = Option<LastSet>;

fn told_all(pages: &mut SetPages, desk: &Desk, job: Job, told: &Sender<News>) {
    // The window may be gone already; then nobody waits for the answer.
    drop(told.send(done(pages, desk, job)));
}

fn done(pages: &mut SetPages, desk: &Desk, job: Job) -> News {
    match job {
        Job::Set(copy) => match set(&copy) {
            Ok(set) => {
                let names = set.pages.names().to_vec();
                let n_pages = set.pages.n_pages();
                let sizes = (1..=n_pages).filter_map(|page| set.pages.size(page)).collect();
                *pages = Some(set);
                News::Set { revision: copy.revision, names, sizes }
            }
            Err(error) => {
                News::Failed(PressWords::the_pages_cannot_be_set(format_args!("{error:#}")))
            }
        },
        Job::Paint { page, pixels_per_pt } => match pages {
            Some(set) => match set.pages.render(page + 1, pixels_per_pt) {
                Ok(image) => News::Painted { revision: set.revision, page, image },
                Err(error) => News::Failed(PressWords::the_page_cannot_be_painted(&error)),
            },
            None => News::Failed(PressWords::no_pages_are_set_yet().to_owned()),
        },
        Job::Write { copy, folder, under_way } => {
            let written = write(&copy, &folder, &under_way);
            under_way.end();
            match written {
                Ok(says) => News::Written(says),
                Err(error) => News::Failed(format!("{error:#}")),
            }
        }
        Job::Print { copy, page, under_way } => {
            let printed = print(pages, desk, (&copy, page), &under_way);
            under_way.end();
            match printed {
                Ok(says) => News::Written(says),
                Err(error) => News::NotPrinted(format!("{error:#}")),
            }
        }
    }
}

fn set(copy: &Copy) -> anyhow::Result<LastSet> {
    let pages = Pages::set(&copy.car, &copy.report, &copy.options.for_pack()?)?;
    Ok(LastSet { revision: copy.revision, options: copy.options.clone(), pages })
}

/// Prints what is shown; pages that are set for it already are not set again.
fn print(
    pages: &SetPages,
    desk: &Desk,
    (copy, page): (&Copy, Option<usize>),
    under_way: &UnderWay,
) -> anyhow::Result<String> {
    let is_it = |set: &&LastSet| set.revision == copy.revision && set.options == copy.options;
    let fresh;
    let pages = if let Some(set) = pages.as_ref().filter(is_it) {
        &set.pages
    } else {
        fresh = set(copy)?;
        &fresh.pages
    };
    let (pdf, what) = match page {
        Some(page) => {
            let name = pages.names().get(page).map_or("", String::as_str);
            (pages.pdf_of(page + 1)?, format!("page {} {name}", page + 1))
        }
        None => (pages.pdf()?, PressWords::garage_pack().to_owned()),
    };
    let name = files::name_of(&[&copy.car.vehicle().name, &what].map(String::as_str).join(" "));
    if under_way.gives_up() {
        return Ok(Pressing::not_printed().to_owned());
    }
    desk.print(&pdf, &name, copy.options.paper)
}

/// Writes the pack, file by file, until that is given up; says what is written.
fn write(copy: &Copy, folder: &std::path::Path, under_way: &UnderWay) -> anyhow::Result<String> {
    if under_way.gives_up() {
        return Ok(Pressing::not_written().to_owned());
    }
    let pack = pack(&copy.car, &copy.report, &copy.options.for_pack()?)?;
    if under_way.gives_up() {
        return Ok(Pressing::not_written().to_owned());
    }
    files::make_folder(folder)?;
    let files = pack.files();
    let n_files = files.len();
    for (n_written, file) in files.into_iter().enumerate() {
        under_way.has_done(n_written, n_files);
        if under_way.gives_up() {
            return Ok(Pressing::partly_written(n_written, n_files, folder.display()));
        }
        files::write(&folder.join(&file.name), &file.bytes)?;
    }
    Ok(Pressing::written(n_files, folder.display()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pack_that_is_given_up_is_not_written_and_another_says_how_far_it_is() {
        let copy = Copy {
            revision: (1, 1),
            car: Arc::new(crate::demo::car(2)),
            report: Report::default(),
            options: PaperOptions::default(),
        };
        let name = format!("loomwright-given-up-{}", std::process::id());
        let folder = std::env::temp_dir().join(name);
        let under_way = UnderWay::default();
        under_way.give_up();
        let says = write(&copy, &folder, &under_way).expect("no failure");
        assert_eq!(says, Pressing::not_written());
        assert!(!files::exists(&folder));
        let under_way = UnderWay::default();
        let says = write(&copy, &folder, &under_way).expect("written");
        let n_files = files::in_folder(&folder).expect("a folder").len();
        assert_eq!(says, Pressing::written(n_files, folder.display()));
        assert_eq!(under_way.progress(), Some((n_files - 1, n_files)));
        drop(std::fs::remove_dir_all(&folder));
    }
}
