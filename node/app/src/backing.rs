//! Whom this home backs: its own keys, and every grower with weight in its circle.

use std::collections::HashSet;
use std::sync::{Arc, PoisonError, RwLock};

use propagule_protocol::AuthorKey;
use propagule_protocol::state;

use super::App;
use super::evidence::trust_of;
use propagule_bench::KnownGrower;
use propagule_evidence::Whose;
use propagule_files::journal::StoreError;
use propagule_network::admission::Backing;
use propagule_network::store::Store;

/// What the home keeps to itself, as it was when it changed last.
#[derive(Clone, Debug)]
pub(super) struct AtHome {
    /// The key that signs now.
    pub(super) current: AuthorKey,
    /// All own keys.
    pub(super) own: Vec<AuthorKey>,
    /// Growers trusted, muted or named here.
    pub(super) known: Vec<KnownGrower>,
}

/// The circle, as admission asks for it: beside whoever holds the bench.
#[derive(Clone, Debug)]
pub(super) struct ByCircle {
    pub(super) store: Arc<Store>,
    pub(super) at_home: Arc<RwLock<AtHome>>,
}

impl Backing for ByCircle {
    fn backed(&self) -> Result<HashSet<AuthorKey>, StoreError> {
        let AtHome { current, own, known } =
            self.at_home.read().unwrap_or_else(PoisonError::into_inner).clone();
        let records = self.store.records(&self.store.signer_ids()?)?;
        let resolved = state::resolve(&records);
        let circle = trust_of(&resolved, &current, &own, &known).circle();
        let weighs = |author: &&AuthorKey| circle.weight(author, Whose::Circle) > 0.0;
        let members = circle.members().keys().filter(weighs);
        // A grower counts once, by whichever key of the chain it signs.
        let keys = members.copied().chain(own.iter().map(|key| resolved.author_of(key)));
        let chains = keys.flat_map(|author| resolved.keys_of(&author).into_iter().chain([author]));
        Ok(chains.chain(own.iter().copied()).collect())
    }
}

impl App {
    /// Lets admission know of the circle as it is now.
    pub(super) fn backing_changed(&self) {
        let known: Vec<KnownGrower> = self.bench().growers().cloned().collect();
        let (current, own) = (self.keys().current().author(), self.keys().public());
        *self.at_home.write().unwrap_or_else(PoisonError::into_inner) = AtHome { current, own, known };
        self.gate.admission().backing_changed();
    }
}
