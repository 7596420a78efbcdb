//! A thread that lays large sheets out in full. Until it is done, the window shows them as they were laid out at once.

use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc::{Receiver, Sender, channel};

use loomwright_circuit::{Car, SheetId};
use loomwright_drawing::{Options, Sheet as Laid, lay_out_again};

use crate::analysis::{LayoutKey, with_findings};
use crate::trial::Trial;

/// A sheet with fewer items than this is laid out within a frame.
const FEW_ITEMS: usize = 2_500;

/// Whether a sheet takes longer than a frame.
pub(crate) fn is_large(laid: &Laid) -> bool {
    laid.items.len() >= FEW_ITEMS
}

/// What is to be laid out.
#[derive(Debug)]
pub(crate) struct Order {
    pub(crate) key: LayoutKey,
    pub(crate) sheet: SheetId,
    pub(crate) car: Arc<Car>,
    pub(crate) options: Options,
    /// What is tried, and whether what is live is outlined: what flows is put in the drawing's terms by the thread.
    pub(crate) tried: Option<(Trial, bool)>,
    /// As it was laid out before.
    pub(crate) previous: Arc<Laid>,
    /// As it is shown meanwhile.
    pub(crate) shown: Arc<Laid>,
}

/// What was laid out.
#[derive(Debug)]
pub(crate) struct Done {
    pub(crate) key: LayoutKey,
    pub(crate) sheet: SheetId,
    pub(crate) laid: Arc<Laid>,
}

/// The thread, as the window holds it; it ends with that.
#[derive(Debug)]
pub(crate) struct Draughtsman {
    orders: Sender<Order>,
    done: Receiver<Done>,
    /// Sheets ordered and neither laid out nor dropped.
    n_open: Arc<AtomicUsize>,
}

impl Draughtsman {
    /// Starts the thread; `wake` is called whenever a sheet is done.
    pub(crate) fn start(wake: impl Fn() + Send + 'static) -> Self {
        let (orders, todo) = channel::<Order>();
        let (told, done) = channel();
        let n_open = Arc::new(AtomicUsize::new(0));
        let open = Arc::clone(&n_open);
        std::thread::spawn(move || {
            while let Ok(mut order) = todo.recv() {
                let mut n_taken = 1;
                // What came meanwhile is newer.
                for newer in todo.try_iter() {
                    (order, n_taken) = (newer, n_taken + 1);
                }
                let Order { key, sheet, car, mut options, tried, previous, shown } = order;
                options.live =
                    tried.map(|(trial, has_outlines)| trial.live_in_both(&car, has_outlines));
                let laid = lay_out_again(&car, sheet, &options, &previous);
                // The window paints anew only what is not the very same.
                let laid = Arc::new(with_findings(laid, &options.tags).sharing(&shown));
                if told.send(Done { key, sheet, laid }).is_err() {
                    return;
                }
                open.fetch_sub(n_taken, Ordering::Release);
                wake();
            }
        });
        Self { orders, done, n_open }
    }

    /// Orders a sheet; older orders not yet begun are dropped.
    pub(crate) fn order(&self, order: Order) {
        self.n_open.fetch_add(1, Ordering::Relaxed);
        // The thread ends only with the window; then nobody waits for it.
        drop(self.orders.send(order));
    }

    /// Whether all that was ordered is done.
    pub(crate) fn rests(&self) -> bool {
        self.n_open.load(Ordering::Acquire) == 0
    }

    /// The sheets done since it was asked last.
    pub(crate) fn done(&self) -> impl Iterator<Item = Done> {
        self.done.try_iter()
    }
}
