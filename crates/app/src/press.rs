//! The thread that sets the pages of the garage pack and paints them for the screen.

use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender, channel};

use loomwright_circuit::Car;
use loomwright_drawing::Palette;
use loomwright_papers::{PackOptions, PageImage, Pages, Paper, pack};

use crate::checked::Checked;
use crate::files;

/// What the pages are set from.
#[derive(Debug, Clone)]
pub struct Copy {
    /// Revision of the car and of the check.
    pub revision: (u64, u64),
    /// The car.
    pub car: Arc<Car>,
    /// What was found.
    pub checked: Arc<Checked>,
    /// Paper and inks.
    pub options: PaperOptions,
}

/// What a person chooses for the pages.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct PaperOptions {
    /// Size of the drawings' paper.
    pub paper: Paper,
    /// Whether the printer has no colours.
    pub is_mono: bool,
}

impl PaperOptions {
    /// As the typesetter takes them, dated today.
    pub fn for_pack(self) -> PackOptions {
        PackOptions {
            paper: self.paper,
            palette: if self.is_mono { Palette::Mono } else { Palette::Print },
            date: files::today(),
            ..PackOptions::default()
        }
    }
}

enum Job {
    Set(Box<Copy>),
    Paint { page: usize, pixels_per_pt: f64 },
    Write { copy: Box<Copy>, folder: std::path::PathBuf },
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
    /// The pack is written.
    Written(String),
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
    pub fn start(wake: impl Fn() + Send + 'static) -> Self {
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
                        told_all(&mut pages, job, &told);
                    }
                    job = next;
                }
                told_all(&mut pages, job, &told);
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
    pub fn write(&self, copy: Copy, folder: std::path::PathBuf) {
        drop(self.jobs.send(Job::Write { copy: Box::new(copy), folder }));
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

type SetPages = Option<((u64, u64), Pages)>;

fn told_all(pages: &mut SetPages, job: Job, told: &Sender<News>) {
    // The window may be gone already; then nobody waits for the answer.
    drop(told.send(done(pages, job)));
}

fn done(pages: &mut SetPages, job: Job) -> News {
    match job {
        Job::Set(copy) => {
            match Pages::set(&copy.car, &copy.checked.report, &copy.options.for_pack()) {
                Ok(set) => {
                    let names = set.names().to_vec();
                    let sizes = (1..=set.n_pages()).filter_map(|page| set.size(page)).collect();
                    *pages = Some((copy.revision, set));
                    News::Set { revision: copy.revision, names, sizes }
                }
                Err(error) => News::Failed(format!("The pages cannot be set: {error}")),
            }
        }
        Job::Paint { page, pixels_per_pt } => match pages {
            Some((revision, set)) => match set.render(page + 1, pixels_per_pt) {
                Ok(image) => News::Painted { revision: *revision, page, image },
                Err(error) => News::Failed(format!("The page cannot be painted: {error}")),
            },
            None => News::Failed("No pages are set yet".to_owned()),
        },
        Job::Write { copy, folder } => match write(&copy, &folder) {
            Ok(n_files) => {
                News::Written(format!("{n_files} files written to {}", folder.display()))
            }
            Err(error) => News::Failed(format!("{error:#}")),
        },
    }
}

fn write(copy: &Copy, folder: &std::path::Path) -> anyhow::Result<usize> {
    let pack = pack(&copy.car, &copy.checked.report, &copy.options.for_pack())?;
    files::make_folder(folder)?;
    let files = pack.files();
    let n_files = files.len();
    for file in files {
        files::write(&folder.join(&file.name), &file.bytes)?;
    }
    Ok(n_files)
}
