//! The thread that works figures out: a first short run of every car asked for, then the whole runs. A newer request of
//! the same car takes the place of the older one; what an older one still brings is dropped by its ticket.

use super::ROUGH_DRAWS;
use crate::car::{Buyer, CarRecord};
use crate::engine::Run;
use crate::tui::app::Action;
use crate::tui::ports::Engine;
use crate::tui::screens::asked::About;
use std::collections::VecDeque;
use std::sync::mpsc::Sender;
use std::sync::{Arc, Condvar, Mutex, PoisonError};

/// One piece of work.
#[derive(Debug, Clone)]
pub enum Job {
    /// Weigh a car.
    Weigh {
        /// Car.
        slug: String,
        /// Number of the request.
        ticket: u64,
        /// Its record.
        car: Box<CarRecord>,
    },
    /// Work out what is most worth finding out.
    FindOut {
        /// Car.
        slug: String,
        /// Its record.
        car: Box<CarRecord>,
    },
    /// Work out two prices tied to a check.
    TwoPrices {
        /// What is asked about.
        about: About,
        /// For which check in order.
        at: usize,
        /// Its record.
        car: Box<CarRecord>,
    },
    /// Work out what would change the mind.
    Mind {
        /// What is asked about.
        about: About,
        /// Its record.
        car: Box<CarRecord>,
    },
    /// Compare cars.
    Compare {
        /// Number of the request.
        ticket: u64,
        /// Slugs and records.
        cars: Vec<(String, CarRecord)>,
    },
}

impl Job {
    /// The kind of job and the car that it is about; none for a comparison.
    fn about(&self) -> (u8, Option<&str>) {
        match self {
            Self::Weigh { slug, .. } => (0, Some(slug)),
            Self::FindOut { slug, .. } => (1, Some(slug)),
            Self::Compare { .. } => (2, None),
            Self::TwoPrices { about, .. } => (3, Some(&about.slug)),
            Self::Mind { about, .. } => (4, Some(&about.slug)),
        }
    }

    /// A short run first is worth it: a first order that changes under the hand is not.
    fn wants_rough(&self) -> bool {
        matches!(self, Self::Weigh { .. } | Self::Compare { .. })
    }

    /// Works it out.
    pub fn work(&self, engine: &dyn Engine, buyer: &Buyer, run: &Run, rough: bool) -> Action {
        match self {
            Self::Weigh { slug, ticket, car } => Action::Weighed {
                slug: slug.clone(),
                ticket: *ticket,
                rough,
                appraisal: Arc::new(engine.appraise(car, buyer, run)),
            },
            Self::FindOut { slug, car } => Action::FoundOut {
                slug: slug.clone(),
                found: Arc::new(engine.find_out(car, buyer, run)),
            },
            Self::TwoPrices { about, at, car } => Action::TwoPriced {
                about: about.clone(),
                at: *at,
                came: Box::new(engine.two_prices(car, buyer, run, *at)),
            },
            Self::Mind { about, car } => Action::Minded {
                about: about.clone(),
                mind: Arc::new(engine.change_my_mind(car, buyer, run)),
            },
            Self::Compare { ticket, cars } => {
                let pairs: Vec<(&CarRecord, &str)> = cars
                    .iter()
                    .map(|(slug, car)| (car, slug.as_str()))
                    .collect();
                Action::Compared {
                    ticket: *ticket,
                    comparison: Arc::new(engine.compare(&pairs, buyer, run)),
                }
            }
        }
    }
}

struct Asked {
    job: Job,
    buyer: Arc<Buyer>,
    run: Run,
    rough: bool,
}

#[derive(Default)]
struct Queue {
    asked: VecDeque<Asked>,
    closed: bool,
}

#[derive(Default)]
struct Shared {
    queue: Mutex<Queue>,
    woken: Condvar,
}

/// The thread's front: asks and forgets.
pub struct Worker {
    shared: Arc<Shared>,
}

impl Worker {
    /// Starts the thread.
    #[must_use]
    pub fn start(engine: Arc<dyn Engine>, send: Sender<Action>) -> Self {
        let shared = Arc::new(Shared::default());
        let own = Arc::clone(&shared);
        std::thread::spawn(move || {
            while let Some(asked) = own.next() {
                let action = asked
                    .job
                    .work(engine.as_ref(), &asked.buyer, &asked.run, asked.rough);
                if send.send(action).is_err() {
                    return;
                }
            }
        });
        Self { shared }
    }

    /// Asks for a job: a short run before all whole runs, then the whole run. The older request of the same car leaves.
    pub fn ask(&self, job: Job, buyer: Arc<Buyer>, run: Run) {
        let mut queue = self
            .shared
            .queue
            .lock()
            .unwrap_or_else(PoisonError::into_inner);
        queue.asked.retain(|asked| asked.job.about() != job.about());
        if run.draws > ROUGH_DRAWS && job.wants_rough() {
            let short = Asked {
                job: job.clone(),
                buyer: Arc::clone(&buyer),
                run: Run {
                    draws: ROUGH_DRAWS,
                    ..run
                },
                rough: true,
            };
            let at = queue.asked.iter().position(|asked| !asked.rough);
            let at = at.unwrap_or(queue.asked.len());
            queue.asked.insert(at, short);
        }
        queue.asked.push_back(Asked {
            job,
            buyer,
            run,
            rough: false,
        });
        drop(queue);
        self.shared.woken.notify_one();
    }
}

impl Drop for Worker {
    fn drop(&mut self) {
        let mut queue = self
            .shared
            .queue
            .lock()
            .unwrap_or_else(PoisonError::into_inner);
        queue.closed = true;
        queue.asked.clear();
        drop(queue);
        self.shared.woken.notify_one();
    }
}

impl Shared {
    fn next(&self) -> Option<Asked> {
        let mut queue = self.queue.lock().unwrap_or_else(PoisonError::into_inner);
        loop {
            if queue.closed {
                return None;
            }
            if let Some(asked) = queue.asked.pop_front() {
                return Some(asked);
            }
            queue = self
                .woken
                .wait(queue)
                .unwrap_or_else(PoisonError::into_inner);
        }
    }
}
