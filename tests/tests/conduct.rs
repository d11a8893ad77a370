//! Peers that break a rule, over real connections: each is blocked at its count, and an honest peer from elsewhere
//! notices nothing.

use std::net::Ipv4Addr;
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Duration;

use anyhow::{Context, ensure};
use libp2p::PeerId;
use propagule_network::limits::{FETCH_IDS, GOSSIP_FLOOD, POINTS_OF_GROUP, POINTS_OF_PEER, QUESTION_BYTES};
use propagule_network::net::{NetStatus, peer_of};
use propagule_network::spread::Offence;
use propagule_network::store::{Arrival, Records};
use propagule_network::sync::{Answerer, Budget, Question, Reply};
use propagule_network::timing::Timing;
use propagule_protocol::{RecordId, Signed};
use propagule_tests::handmade::{AnswersWith, Handmade, Manner, Told};
use propagule_tests::hostile::Hostile;
use propagule_tests::inside::Inside;
use propagule_tests::invented::{network, record_of};
use propagule_tests::protobuf::frame;
use propagule_tests::road::road;
use propagule_tests::stores::Watched;

/// Where offenders come from.
const ELSEWHERE: Ipv4Addr = Ipv4Addr::new(127, 5, 6, 1);

fn exchange() -> String {
    format!("/propagule/exchange/1/{}", &network().to_string()[..8])
}

/// A message on the wire: its length, then its bytes.
fn framed(message: &[u8]) -> Vec<u8> {
    [&(message.len() as u32).to_be_bytes()[..], message].concat()
}

/// A node, an honest peer of it, and where offenders reach it.
struct Scene {
    node: Inside,
    store: Arc<Watched>,
    honest: Inside,
    honest_store: Arc<Watched>,
    to: PeerId,
}

impl Scene {
    async fn new() -> anyhow::Result<Self> {
        let (store, honest_store) = (Arc::new(Watched::default()), Arc::new(Watched::default()));
        let node = Inside::start(1, Arc::<Watched>::clone(&store), Timing::quick()).await?;
        let honest = Inside::start(2, Arc::<Watched>::clone(&honest_store), Timing::quick()).await?;
        honest.dial(&node.address).await?;
        node.until(|status| status.peers.len() == 1).await?;
        let to = peer_of(&node.address).context("an address with an id")?;
        Ok(Self { node, store, honest, honest_store, to })
    }

    async fn meet(&self, peer: &mut Handmade) -> anyhow::Result<()> {
        peer.connect(&road(&self.node.address, ELSEWHERE).await?).await
    }

    /// Counts of an offence so far.
    fn counted(&self, offence: Offence) -> u64 {
        self.node.gate.counts().refused.get(offence.reason()).copied().unwrap_or_default()
    }

    /// Waits until the offender is blocked, and shows that the honest peer has noticed nothing.
    async fn ends_well(&self) -> anyhow::Result<()> {
        let honest = self.honest.status().await?.peer_id;
        let is_blocked = |status: &NetStatus| status.blocked == 1 && status.peers.len() == 1;
        let status = self.node.until(is_blocked).await?;
        ensure!(status.peers[0].peer_id == honest, "{status:?}");
        let before = self.store.count();
        self.honest.publish(&*self.honest_store, record_of(99, 99, 3)).await?;
        self.node.until(|_| self.store.count() > before).await?;
        ensure!(self.honest.status().await?.blocked == 0);
        Ok(())
    }
}

/// A peer that sends such bytes as a question, over and over, is blocked at the stated count.
async fn is_blocked_for_asking(bytes: Vec<u8>, offence: Offence) -> anyhow::Result<()> {
    let scene = Scene::new().await?;
    let mut peer = Handmade::new(&exchange(), Manner::Asks)?;
    scene.meet(&mut peer).await?;
    let most = POINTS_OF_PEER / offence.points();
    for number in 1..most {
        peer.ask(scene.to, bytes.clone()).await?;
        ensure!(peer.hear(|told| matches!(told, Told::Answer(_) | Told::NoAnswer)).await? == Told::NoAnswer);
        scene.node.until(|_| scene.counted(offence) == u64::from(number)).await?;
    }
    let status = scene.node.status().await?;
    ensure!(status.blocked == 0 && status.peers.len() == 2, "{offence:?} before its count: {status:?}");
    peer.ask(scene.to, bytes).await?;
    peer.hear(|told| matches!(told, Told::Shut(_))).await?;
    scene.ends_well().await?;
    ensure!(scene.counted(offence) == u64::from(most));
    Ok(())
}

#[tokio::test]
async fn questions_that_do_not_decode() -> anyhow::Result<()> {
    is_blocked_for_asking(framed(&[0xFF; 30]), Offence::Garbled).await
}

#[tokio::test]
async fn questions_that_are_longer_than_any() -> anyhow::Result<()> {
    is_blocked_for_asking((QUESTION_BYTES as u32 + 1).to_be_bytes().to_vec(), Offence::Garbled).await
}

#[tokio::test]
async fn questions_that_end_in_the_middle() -> anyhow::Result<()> {
    let whole = framed(&Question::Months(network()).encode());
    is_blocked_for_asking(whole[..whole.len() / 2].to_vec(), Offence::CutShort).await
}

#[tokio::test]
async fn records_handed_over_that_are_none() -> anyhow::Result<()> {
    let scene = Scene::new().await?;
    let mut peer = Handmade::new(&exchange(), Manner::Asks)?;
    scene.meet(&mut peer).await?;
    let stem = Question::Stem(vec![0xFF; 300]);
    let most = POINTS_OF_PEER / Offence::Refused.points();
    for number in 1..=most {
        peer.ask(scene.to, framed(&stem.encode())).await?;
        let counted = |counts: &propagule_network::intake::Counts| {
            counts.refused.get("not canonical") == Some(&u64::from(number))
        };
        scene.node.until_counted(counted).await?;
        if number < most {
            peer.hear(|told| matches!(told, Told::Answer(_))).await?;
            ensure!(scene.node.status().await?.blocked == 0);
        }
    }
    scene.ends_well().await
}

/// A peer that answers every question of the node so; the node asks until it is blocked.
async fn is_blocked_for_answering(
    answer: AnswersWith,
    offence: Offence,
    times: u64,
) -> anyhow::Result<Scene> {
    let scene = Scene::new().await?;
    let mut peer = Handmade::answering(&exchange(), answer)?;
    scene.meet(&mut peer).await?;
    let mut shut = Box::pin(peer.hear(|told| matches!(told, Told::Shut(_))));
    let mut looks = tokio::time::interval(Duration::from_millis(20));
    loop {
        tokio::select! {
            shut = &mut shut => break shut.map(drop)?,
            _ = looks.tick() => scene.node.client.hurry().await?,
        };
    }
    scene.ends_well().await?;
    ensure!(scene.counted(offence) == times, "{:?}", scene.node.gate.counts());
    Ok(scene)
}

fn always(bytes: Vec<u8>) -> AnswersWith {
    Box::new(move |_| Some(bytes.clone()))
}

#[tokio::test]
async fn replies_that_do_not_decode() -> anyhow::Result<()> {
    is_blocked_for_answering(always(framed(&[0xFF; 30])), Offence::Garbled, 5).await.map(drop)
}

#[tokio::test]
async fn replies_that_are_longer_than_any() -> anyhow::Result<()> {
    is_blocked_for_answering(always(vec![0xFF; 4]), Offence::Garbled, 5).await.map(drop)
}

#[tokio::test]
async fn replies_of_the_wrong_kind() -> anyhow::Result<()> {
    is_blocked_for_answering(always(framed(&Reply::Taken.encode())), Offence::Garbled, 5).await.map(drop)
}

#[tokio::test]
async fn replies_that_end_in_the_middle() -> anyhow::Result<()> {
    let whole = framed(&Reply::Months(Vec::new()).encode());
    is_blocked_for_answering(always(whole[..5].to_vec()), Offence::CutShort, 20).await.map(drop)
}

/// A peer that has these records and answers a fetch with bytes of its own choice.
fn with_records(
    records: Vec<Signed>,
    fetched: impl Fn(Vec<RecordId>) -> Vec<Vec<u8>> + Send + 'static,
) -> anyhow::Result<AnswersWith> {
    let store = Watched::default();
    let arrivals: Vec<_> =
        records.into_iter().map(|one| Arrival::Accepted { signed: Box::new(one), own: None }).collect();
    store.append(&arrivals)?;
    let answerer = Answerer::new(network());
    Ok(Box::new(move |bytes| {
        let reply = match Question::decode(bytes.get(4..)?).ok()? {
            Question::Fetch(ids) => Reply::Records(fetched(ids)),
            Question::Peers => Reply::Peers(Vec::new()),
            other => answerer.reply(&other, &store, Budget::DIRECT),
        };
        Some(framed(&reply.encode()))
    }))
}

fn records(count: u64) -> Vec<Signed> {
    (0..count).map(|series| record_of(1, series, 3)).collect()
}

/// A true record all the same: it costs its hash, and is neither verified nor kept.
#[tokio::test]
async fn records_that_were_not_asked_for() -> anyhow::Result<()> {
    let unasked = record_of(7, 7, 7);
    let bytes = unasked.bytes.clone();
    let answer = with_records(records(1), move |_| vec![bytes.clone()])?;
    let scene = is_blocked_for_answering(answer, Offence::Unasked, 2).await?;
    ensure!(scene.store.arrival(&unasked.id).is_none() && scene.store.count() == 1, "only the honest one's");
    Ok(())
}

#[tokio::test]
async fn records_that_were_offered_and_are_not_delivered() -> anyhow::Result<()> {
    let most = u64::from(POINTS_OF_PEER);
    ensure!(most <= FETCH_IDS as u64);
    let answer = with_records(records(most), |_| Vec::new())?;
    is_blocked_for_answering(answer, Offence::Withheld, 1).await.map(drop)
}

fn with_wrong_signature(one: &Signed) -> Vec<u8> {
    let mut bytes = one.bytes.clone();
    if let Some(last) = bytes.last_mut() {
        *last ^= 1;
    }
    bytes
}

#[tokio::test]
async fn records_under_an_id_that_was_asked_for_which_fail() -> anyhow::Result<()> {
    let all = records(2);
    let forged: Vec<Vec<u8>> = all.iter().map(with_wrong_signature).collect();
    let answer = with_records(all, move |_| forged.clone())?;
    let scene = is_blocked_for_answering(answer, Offence::Forged, 0).await?;
    let refused = scene.node.gate.counts().refused;
    ensure!(refused == [("bad signature".to_owned(), 2)].into(), "each was verified once: {refused:?}");
    Ok(())
}

/// The peer that forged one record is not asked for it again; another one, which has it too, is.
#[tokio::test]
async fn a_forged_record_is_asked_of_others() -> anyhow::Result<()> {
    let scene = Scene::new().await?;
    let (one, asked) = (record_of(1, 1, 3), Arc::new(AtomicUsize::new(0)));
    let (forged, counter) = (with_wrong_signature(&one), Arc::clone(&asked));
    let answer = with_records(vec![one.clone()], move |_| {
        counter.fetch_add(1, Ordering::Relaxed);
        vec![forged.clone()]
    })?;
    let mut peer = Handmade::answering(&exchange(), answer)?;
    scene.meet(&mut peer).await?;
    scene.node.until(|_| asked.load(Ordering::Relaxed) == 1).await?;
    let liar = peer.id.to_string();
    let last = |status: &NetStatus| {
        let of_liar = status.peers.iter().find(|peer| peer.peer_id == liar);
        of_liar.and_then(|peer| peer.last_exchange.clone())
    };
    scene.node.until(|status| last(status).is_some()).await?;
    scene.node.client.hurry().await?;
    scene.honest.publish(&*scene.honest_store, one.clone()).await?;
    scene.node.until(|_| scene.store.arrival(&one.id).is_some()).await?;
    ensure!(asked.load(Ordering::Relaxed) == 1 && scene.node.status().await?.blocked == 0);
    Ok(())
}

/// Fingerprints of nothing that anybody has: each round splits them further, and none brings an id.
#[tokio::test]
async fn reconciliation_without_an_end() -> anyhow::Result<()> {
    // Version 1 of the reconciliation protocol: a bound at infinity without a prefix, then a fingerprint.
    let frame = [&[0x61, 0, 0, 1][..], &[7; 16]].concat();
    let inner = with_records(records(1), |_| Vec::new())?;
    let answer: AnswersWith = Box::new(move |bytes| match Question::decode(bytes.get(4..)?) {
        Ok(Question::Reconcile(..)) => Some(framed(&Reply::Reconcile(frame.clone()).encode())),
        _ => inner(bytes),
    });
    is_blocked_for_answering(answer, Offence::Endless, 5).await.map(drop)
}

/// As fast as the connection carries it, whatever it is told.
#[tokio::test]
async fn asking_on_over_budget() -> anyhow::Result<()> {
    let scene = Scene::new().await?;
    let mut peer = Handmade::new(&exchange(), Manner::Asks)?;
    scene.meet(&mut peer).await?;
    let question = framed(&Question::Peers.encode());
    let mut told_to_wait = 0;
    loop {
        peer.ask(scene.to, question.clone()).await?;
        match peer.hear(|told| !matches!(told, Told::Open(_))).await? {
            Told::Answer(bytes) => {
                told_to_wait += u32::from(Reply::decode(&bytes[4..])? != Reply::Peers(Vec::new()));
            }
            _ => break,
        }
    }
    scene.ends_well().await?;
    let most = u64::from(POINTS_OF_PEER / Offence::Impatient.points());
    ensure!(scene.counted(Offence::Impatient) == most && told_to_wait > 0, "{told_to_wait}");
    Ok(())
}

/// A message of this network's gossip.
fn gossip(data: &[u8]) -> Vec<u8> {
    let topic = format!("propagule/1/{}", &network().to_string()[..8]);
    frame(&topic, data)
}

async fn gossips(scene: &Scene, peer: &Handmade, messages: &[Vec<u8>]) -> anyhow::Result<()> {
    let framed: Vec<Vec<u8>> = messages.iter().map(|message| gossip(message)).collect();
    peer.ask(scene.to, framed.concat()).await
}

#[tokio::test]
async fn gossip_that_is_no_record() -> anyhow::Result<()> {
    let scene = Scene::new().await?;
    let mut peer = Handmade::new("/propagule/gossip/1.1.0", Manner::Silent)?;
    scene.meet(&mut peer).await?;
    let most = (POINTS_OF_PEER / Offence::Refused.points()) as usize;
    let garbage: Vec<Vec<u8>> = (0..most).map(|number| vec![0xF0 + number as u8; 300]).collect();
    gossips(&scene, &peer, &garbage[1..]).await?;
    let counted = |count: u64| {
        move |counts: &propagule_network::intake::Counts| counts.refused.values().sum::<u64>() == count
    };
    scene.node.until_counted(counted(most as u64 - 1)).await?;
    ensure!(scene.node.status().await?.blocked == 0);
    gossips(&scene, &peer, &garbage[..1]).await?;
    scene.ends_well().await
}

/// Good records, of which a node takes up no more than it may: what comes beyond is counted, and then charged.
#[tokio::test]
async fn more_gossip_than_anybody_passes_on() -> anyhow::Result<()> {
    let scene = Scene::new().await?;
    let address = road(&scene.node.address, ELSEWHERE).await?;
    let mut peer = Hostile::connect(&address.to_string(), network()).await?;
    for number in 0..u64::from(GOSSIP_FLOOD) * 5 {
        peer.gossip(record_of(number / 15, number, 3).bytes)?;
    }
    tokio::select! {
        ended = scene.ends_well() => ended?,
        () = peer.keep_going() => anyhow::bail!("a peer has no end"),
    }
    ensure!(scene.counted(Offence::Flood) == u64::from(POINTS_OF_PEER / Offence::Flood.points()));
    Ok(())
}

/// Names cost nothing, addresses do: when enough peers of one place were blocked, it gets one connection.
#[tokio::test]
async fn a_place_whose_peers_are_blocked_gets_one_connection() -> anyhow::Result<()> {
    let scene = Scene::new().await?;
    let of_group = (POINTS_OF_GROUP / (POINTS_OF_PEER / 2)) as u8;
    let from = |number: u8| road(&scene.node.address, Ipv4Addr::new(127, 5, 6, number));
    for number in 1..=of_group {
        let mut peer = Handmade::new(&exchange(), Manner::Asks)?;
        peer.connect(&from(number).await?).await?;
        for _ in 0..POINTS_OF_PEER / Offence::Garbled.points() {
            peer.ask(scene.to, framed(&[0xFF; 30])).await?;
            peer.hear(|told| matches!(told, Told::NoAnswer | Told::Shut(_))).await?;
        }
        scene.node.until(|status| status.blocked == usize::from(number)).await?;
    }
    let mut first = Handmade::new(&exchange(), Manner::Asks)?;
    first.connect(&from(100).await?).await?;
    scene.node.until(|status| status.peers.len() == 2).await?;
    let mut second = Handmade::new(&exchange(), Manner::Asks)?;
    second.dial(&from(101).await?).await?;
    second.hear(|told| matches!(told, Told::Shut(_) | Told::NotReached)).await?;
    // From next door, and from anywhere else, everybody is as welcome as before.
    let mut third = Handmade::new(&exchange(), Manner::Asks)?;
    third.connect(&road(&scene.node.address, Ipv4Addr::new(127, 5, 7, 1)).await?).await?;
    scene.node.until(|status| status.peers.len() == 3).await?;
    Ok(())
}
