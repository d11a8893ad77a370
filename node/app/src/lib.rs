//! What the tool can do: use cases on an open home, the same for every way of asking.
//!
//! Nothing here prints or reads a path that a caller names.

pub mod archive;
mod backing;
mod bench;
mod bench_rows;
mod bundle;
pub mod caught;
pub mod cautions;
mod circle;
mod compare;
pub mod doctor;
mod evidence;
#[cfg(test)]
mod failpoints;
#[cfg(test)]
#[path = "../../src/fixtures.rs"]
mod fixtures;
mod group;
pub mod home;
mod import;
mod key;
mod lessons;
mod memo;
mod naming;
pub mod outcome;
mod own;
mod peers;
mod place;
mod plan;
mod plant;
mod pool;
mod printed;
mod publish;
pub mod reached;
pub mod reading;
mod request;
mod signing_day;
mod store;
pub mod tables;
mod trial;
mod withdraw;

use std::panic::AssertUnwindSafe;
use std::sync::{Arc, Mutex, MutexGuard, OnceLock, PoisonError, RwLock};

use futures::FutureExt;
use propagule_protocol::NetworkId;
use propagule_protocol::names::Synonyms;

pub use bench::viewed;
pub use bench::{
    ArmFacts, ArmGiven, Because, BenchRequest, Closing, Common, CorrectTrial, DoneBy, DuePart, Enter,
    Hearing, NewTrial, PaperKind, PutIn, Repeat, SettingChoice, StartedAt, Stick, UnitsOf, facet_names,
    give_facet,
};
pub use circle::{Change, CircleRequest};
pub use import::Table;
pub use key::KeyRequest;
pub use request::{Reply, Request, StoreWork};
pub use withdraw::withdrawal_reason;

use crate::home::{AuthorKeys, Config, Home, UnknownSetting};
pub use propagule_answer::question::{Aim, CompareQuestion, PlanQuestion, PoolQuestion, Scope};
use propagule_bench::Bench;
use propagule_bench::locale::Dialect;
use propagule_files::clock::Clock;
use propagule_files::fault::Fault;
use propagule_files::journal::{Damage, FORMAT_VERSION, format, refuse_newer};
use propagule_files::lock::HomeLock;
use propagule_network::admission::Admittance;
use propagule_network::intake::Gate;
use propagule_network::net;
use propagule_network::store::{Loss, OpenReport, Store};

/// An open home with all that belongs to it. Whoever has one holds the home's lock.
#[derive(Debug)]
pub struct App {
    home: Home,
    config: Config,
    network: NetworkId,
    clock: Clock,
    keys: RwLock<AuthorKeys>,
    store: Arc<Store>,
    gate: Arc<Gate>,
    /// A copy of what decides whom this home backs.
    at_home: Arc<RwLock<backing::AtHome>>,
    bench: Mutex<Bench>,
    /// A copy of what the bench says, so that evidence is gathered beside whoever holds the bench.
    synonyms: RwLock<Synonyms>,
    /// Held from the choice of a revision number or a key until its record is kept, so that no number is given twice
    /// and nothing is signed by a key that is being replaced.
    publishing: Mutex<()>,
    memos: memo::Memos,
    /// What other plants teach.
    lessons: lessons::Lessons,
    net: OnceLock<net::Client>,
    /// What opening found; what repairing has dealt with is taken out.
    opened: Mutex<OpenReport>,
    _lock: HomeLock,
    #[cfg(test)]
    failpoints: failpoints::Failpoints,
}

impl App {
    /// Opens a home whose lock the caller has taken.
    ///
    /// # Errors
    /// When its files cannot be used.
    pub fn open(home: Home, lock: HomeLock, clock: Clock) -> Result<Self, Fault> {
        refuse_newer(home.path())?;
        let config = home.config()?;
        let network = home.network();
        let (store, mut opened) = Store::open(home.path(), home.id(), network, config.quota_bytes())?;
        let (bench, damage) = Bench::open(home.path(), home.id(), clock)?;
        opened.damage.extend(damage);
        let first_seen = home.path().join("first-seen");
        let gate = Gate::new(network, clock, Admittance::open(&first_seen, config.timing().known_after)?);
        // A home of an older format stays as it is until something is written.
        if format::stated(home.path()).is_none_or(|found| found >= u64::from(FORMAT_VERSION)) {
            gate.release(&store)?;
        }
        let keys = key::complete_change(&home, &store)?;
        let at_home = backing::AtHome {
            current: keys.current().author(),
            own: keys.public(),
            known: bench.growers().cloned().collect(),
        };
        let (store, at_home) = (Arc::new(store), Arc::new(RwLock::new(at_home)));
        let circle = backing::ByCircle { store: Arc::clone(&store), at_home: Arc::clone(&at_home) };
        gate.admission().backed_by(Box::new(circle));
        Ok(Self {
            keys: RwLock::new(keys),
            store,
            gate: Arc::new(gate),
            at_home,
            synonyms: RwLock::new(bench.synonyms().clone()),
            bench: Mutex::new(bench),
            publishing: Mutex::new(()),
            memos: memo::Memos::default(),
            lessons: lessons::Lessons::default(),
            net: OnceLock::new(),
            home,
            config,
            network,
            clock,
            opened: Mutex::new(opened),
            _lock: lock,
            #[cfg(test)]
            failpoints: failpoints::Failpoints::default(),
        })
    }

    /// The home.
    pub fn home(&self) -> &Home {
        &self.home
    }

    /// Its settings.
    pub fn config(&self) -> &Config {
        &self.config
    }

    /// The English of the grower, as it is chosen now.
    pub fn dialect(&self) -> Dialect {
        // It may have been chosen since this home was opened.
        self.home.config().as_ref().unwrap_or(&self.config).locale().dialect
    }

    /// Where "now" comes from.
    pub fn clock(&self) -> Clock {
        self.clock
    }

    /// Its records.
    pub fn store(&self) -> &Arc<Store> {
        &self.store
    }

    /// The judge of what comes in.
    pub fn gate(&self) -> &Arc<Gate> {
        &self.gate
    }

    /// Puts this home on the network; afterwards what is published leaves from here.
    pub fn connect(&self, client: net::Client) {
        // A home is put on the network once, by the command that serves it.
        let _ = self.net.set(client);
    }

    /// What opening the home found; empty when all is well.
    pub fn opening_notes(&self) -> Vec<OpeningNote> {
        let opened = self.opened.lock().unwrap_or_else(PoisonError::into_inner);
        let damage = opened.damage.iter().cloned().map(OpeningNote::Damage);
        let losses = opened.losses.iter().cloned().map(OpeningNote::Loss);
        let rebuilt = opened.rebuilt.iter().map(|why| OpeningNote::IndexRebuilt { why: why.clone() });
        let settings = self.config.unknown_settings().map(OpeningNote::UnknownSetting);
        damage.chain(losses).chain(rebuilt).chain(settings).collect()
    }

    /// Makes the home one of this version's format, for a program that will write in it; says whether it was another.
    ///
    /// # Errors
    /// When the home cannot be written.
    pub fn raise(&self) -> Result<bool, Fault> {
        Ok(format::raise(self.home.path())?)
    }

    /// Whether what was asked made the home one of a newer format.
    pub fn has_raised(&self) -> bool {
        self.store.has_raised() || self.bench().has_raised()
    }

    fn bench(&self) -> MutexGuard<'_, Bench> {
        let bench = self.bench.lock().unwrap_or_else(PoisonError::into_inner);
        #[cfg(test)]
        self.failpoints.pass();
        bench
    }
}

/// Something that opening a home found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum OpeningNote {
    /// A damaged stretch of a file.
    Damage(Damage),
    /// Records that are lost.
    Loss(Loss),
    /// The index was built anew.
    IndexRebuilt {
        /// Why.
        why: String,
    },
    /// A setting that had no effect.
    UnknownSetting(UnknownSetting),
}

/// Does what a command asks.
///
/// # Errors
/// In words for the person who asked.
pub async fn handle(app: Arc<App>, request: Request) -> Result<Reply, Fault> {
    let handled = AssertUnwindSafe(dispatch(Arc::clone(&app), request)).catch_unwind().await;
    handled.unwrap_or_else(|payload| {
        let fault = caught::internal(payload.as_ref());
        app.read_again();
        Err(fault.hint_named("look-what-was-saved"))
    })
}

async fn dispatch(app: Arc<App>, request: Request) -> Result<Reply, Fault> {
    #[cfg(test)]
    app.failpoints.pass();
    match request {
        Request::PeersAdd { address } => peers::add(&app, &address).await,
        Request::PeersList => peers::list(&app).await,
        Request::PeersInvite => peers::invite(&app).await,
        Request::Doctor { full } => doctor::inside(&app, full).await.map(Reply::Findings),
        Request::PeersAllow { node, name } => group::allow(&app, &node, &name).await,
        Request::PeersDisallow { node } => group::disallow(&app, &node).await,
        Request::PeersAllowAll => group::allow_all(&app).await,
        Request::Publish { trial, confirmed, at_once } => {
            let reply = blocking(&app, move |app| publish::publish(app, &trial, confirmed, at_once)).await?;
            announce(&app).await;
            Ok(reply)
        }
        Request::Withdraw { trial, reason, confirmed, at_once } => {
            let reply =
                blocking(&app, move |app| withdraw::withdraw(app, &trial, reason, confirmed, at_once))
                    .await?;
            announce(&app).await;
            Ok(reply)
        }
        Request::Circle(request) if request.publishes() => {
            let reply = blocking(&app, move |app| circle::handle(app, request)).await?;
            announce(&app).await;
            Ok(reply)
        }
        Request::Key(request) => {
            let reply = blocking(&app, move |app| key::handle(app, request)).await?;
            app.backing_changed();
            announce(&app).await;
            Ok(reply)
        }
        Request::Store(StoreWork::Repair) => {
            let reply = blocking(&app, store::repair).await?;
            // What was lost is asked for now, where the node runs.
            if let Some(net) = app.net.get() {
                let _ = net.hurry().await;
            }
            Ok(reply)
        }
        Request::Bench(request) if matches!(*request, BenchRequest::Stick(_)) => {
            let reply = blocking(&app, move |app| bench::handle(app, *request)).await?;
            announce(&app).await;
            Ok(reply)
        }
        other => blocking(&app, move |app| handle_locally(app, other)).await,
    }
}

/// Lets the running node take up what is new in the outbox.
async fn announce(app: &App) {
    if let Some(net) = app.net.get() {
        // If the loop has ended the records wait for the next start.
        let _ = net.announce().await;
    }
}

/// Reads something for a screen, away from the threads that answer others.
///
/// # Errors
/// Those of `read`.
pub async fn look<T: Send + 'static>(
    app: &Arc<App>,
    read: impl FnOnce(&App) -> Result<T, Fault> + Send + 'static,
) -> Result<T, Fault> {
    blocking(app, read).await
}

/// Works away from the threads that answer others; what fails in the program is a fault of this request alone.
async fn blocking<T: Send + 'static>(
    app: &Arc<App>,
    work: impl FnOnce(&App) -> Result<T, Fault> + Send + 'static,
) -> Result<T, Fault> {
    let app = Arc::clone(app);
    let work = move |app: &App| {
        #[cfg(test)]
        app.failpoints.pass();
        work(app)
    };
    let done = tokio::task::spawn_blocking(move || caught::caught(&app, || work(&app))).await;
    // Work that was begun is cut off only when the program ends.
    done.unwrap_or_else(|error| Err(Fault::internal(error)))
}

fn handle_locally(app: &App, request: Request) -> Result<Reply, Fault> {
    match request {
        Request::PlaceSet { name, place, latitude } => place::set(app, &name, &place, latitude),
        Request::PlaceShow => Ok(place::show(app)),
        Request::TrialImport(table) => import::import(app, *table),
        Request::TrialList { words } => bench::list(app, &words),
        Request::TrialShow { trial, detail } => bench::show(app, &trial, detail),
        Request::Bench(request) => bench::handle(app, *request),
        Request::PlantShow { name } => plant::show(app, &name),
        Request::PlantSame { name, accepted } => plant::same(app, &name, &accepted),
        Request::PlantApart { name } => plant::apart(app, &name),
        Request::Synonyms => Ok(plant::synonyms(app)),
        Request::Pool(request) => pool::pool(app, &request),
        Request::PoolEvidence(request) => pool::evidence(app, &request),
        Request::Plan(request) => plan::plan(app, &request),
        Request::Compare(request) => compare::compare(app, &request),
        Request::Circle(request) => circle::handle(app, request),
        Request::BundleOut { after, since } => bundle::out(app, after, since),
        Request::Archive { with_keys } => archive::make(app, with_keys),
        Request::ArchiveWritten => archive::written(app),
        Request::Months => Ok(Reply::Months(app.store.months())),
        Request::ShortIds { month } => bundle::short_ids(app, month),
        Request::BundleIn { records, as_known } => bundle::take(app, &records, as_known),
        Request::NetworkId => Ok(Reply::NetworkId(app.network)),
        Request::Store(StoreWork::Verify) => store::verify(app),
        Request::Store(StoreWork::Compact) => store::compact(app),
        Request::Store(StoreWork::Repair)
        | Request::Withdraw { .. }
        | Request::Key(_)
        | Request::Publish { .. }
        | Request::PeersAdd { .. }
        | Request::PeersList
        | Request::PeersInvite
        | Request::PeersAllow { .. }
        | Request::PeersDisallow { .. }
        | Request::PeersAllowAll
        | Request::Doctor { .. } => {
            unreachable!("handled with the network")
        }
    }
}
