//! `propagule serve`

use std::sync::Arc;
use std::time::Duration;

use clap::Args;
use libp2p::Multiaddr;

use super::{Context, ask, memory};
use crate::open_files::OpenFiles;
use crate::socket::Server;
use crate::web::{PageServer, lan_address};
use propagule_app::App;
use propagule_app::home::Home;
use propagule_files::fault::Fault;
use propagule_files::lock::HomeLock;
use propagule_files::system::Terminations;
use propagule_network::net;
use propagule_network::net::{AllowedList, Book, GuardFile, Setup, Ways};
use propagule_network::store::Store;
use propagule_present::words::counted;

/// How long to wait for a short command to finish with the home.
const PATIENCE: Duration = Duration::from_secs(5);

#[expect(clippy::struct_excessive_bools, reason = "each is a switch of its own")]
#[derive(Debug, Args)]
pub(crate) struct ServeArgs {
    #[arg(long, value_name = "ADDRESS")]
    listen: Vec<String>,
    #[arg(long, value_name = "PORT", conflicts_with = "no_page")]
    page_port: Option<u16>,
    #[arg(long, conflicts_with = "no_page")]
    lan: bool,
    #[arg(long)]
    find_nearby: bool,
    #[arg(long)]
    no_page: bool,
    #[arg(long, hide = true)]
    until_input_ends: bool,
}

pub(super) async fn cmd_serve(context: &Context, args: ServeArgs) -> Result<(), Fault> {
    let files = OpenFiles::ask()?;
    let home = Home::open(&context.home_path()?)?;
    memory::give_memory_back();
    let lock = HomeLock::take(home.path(), context.words(), PATIENCE)?;
    let app = Arc::new(App::open(home, lock, context.clock)?);
    ask::note_opening(context, &app);
    ask::note_raised(context, app.raise()?);
    let client = net::start(setup(&app, &args, files.peers)?).await?;
    app.connect(client.clone());
    app.learn_in_background()?;
    let server = Server::bind(app.home())?;
    let page = page(&app, &args, files.page).await?;
    announce_ready(context, &app, &client, page.as_ref()).await?;
    wait_for_the_end(context, &app, &server, page, args.until_input_ends).await?;
    client.stop().await;
    app.store().flush()?;
    context.ui.note("stopped");
    Ok(())
}

fn setup(app: &App, args: &ServeArgs, connections: u32) -> Result<Setup, Fault> {
    let config = app.config();
    let texts = if args.listen.is_empty() { &config.listen } else { &args.listen };
    let listen: Vec<Multiaddr> = texts.iter().map(|text| listen_address(text)).collect::<Result<_, _>>()?;
    Ok(Setup {
        key: app.home().network_key()?,
        network: app.home().network(),
        listen,
        timing: config.timing(),
        loopback_exempt: config.loopback_exempt,
        connections,
        share_kib_s: config.share_kib_s,
        ways: Ways {
            find_nearby: args.find_nearby || config.find_nearby,
            relay: config.relay_for_others,
            allowed: AllowedList::open(&app.home().allowed_nodes())?.peers(),
        },
        book: Book::open(&app.home().peer_book())?,
        guards: GuardFile::open(&app.home().guards())?,
        store: Arc::<Store>::clone(app.store()),
        gate: Arc::clone(app.gate()),
        clock: app.clock(),
    })
}

/// The page, bound where it was asked for.
async fn page(app: &Arc<App>, args: &ServeArgs, places: usize) -> Result<Option<PageServer>, Fault> {
    if args.no_page {
        return Ok(None);
    }
    let lan = if args.lan { Some(lan_address()?) } else { None };
    let port = args.page_port.unwrap_or(app.config().page_port);
    PageServer::bind(Arc::clone(app), port, lan, places).await.map(Some)
}

fn listen_address(text: &str) -> Result<Multiaddr, Fault> {
    text.parse().map_err(|e| Fault::environment("listen-address-malformed").with("text", text).because(e))
}

/// Prints where the node is reached, and `ready` last: scripts wait for that line.
async fn announce_ready(
    context: &Context,
    app: &App,
    client: &net::Client,
    page: Option<&PageServer>,
) -> Result<(), Fault> {
    let status = client.status().await.map_err(|_| Fault::usage("network-stopped-at-start"))?;
    let listening = status.addresses.iter().map(|address| format!("listening {address}\n"));
    let (records, network) = (counted(app.store().count(), "record", "records"), app.home().network_name());
    let ready = format!("ready {records} of the network \"{network}\"; Ctrl-C stops\n");
    let page = page.map(page_words).unwrap_or_default();
    context.ui.out(&listening.chain([page, ready]).collect::<String>())
}

fn page_words(page: &PageServer) -> String {
    let lan = page.doors().lan().map(|address| {
        format!(
            "phones http://{address}/pair (Bench and Today; the code is in the room Phone of the page; plain HTTP: \
             whoever is in this Wi-Fi can read along)\n"
        )
    });
    format!("page {}\n{}", page.one_time_address(), lan.unwrap_or_default())
}

/// Answers browsers, and prints the next one-time address whenever the last one was used.
async fn serve_page(context: &Context, page: Option<PageServer>) {
    let Some(page) = page else { return std::future::pending().await };
    let (doors, address) = (Arc::clone(page.doors()), page.address());
    let tell = async {
        loop {
            doors.used().await;
            // A closed terminal is no reason to stop.
            let _ = context.ui.out(&format!("page {}\n", doors.one_time_address(address)));
        }
    };
    tokio::select! {
        () = tell => {}
        () = page.run() => {}
    }
}

/// Waits for the end of the standard input, or for ever where nobody asked for that.
async fn input_ends(is_asked: bool) {
    if !is_asked {
        return std::future::pending().await;
    }
    let (sender, ended) = tokio::sync::oneshot::channel();
    // Of its own, since a runtime does not end while one of its threads still reads.
    std::thread::spawn(move || {
        // Whatever is written there, and a reading that fails, is no reason to stay.
        let _ = std::io::copy(&mut std::io::stdin(), &mut std::io::sink());
        let _ = sender.send(());
    });
    let _ = ended.await;
}

/// Answers commands and keeps the index flushed until it is to end.
async fn wait_for_the_end(
    context: &Context,
    app: &Arc<App>,
    server: &Server,
    page: Option<PageServer>,
    ends_with_input: bool,
) -> Result<(), Fault> {
    let failed = |e| Fault::environment("signals-unavailable").because(e);
    let mut ends = Terminations::listen().map_err(failed)?;
    tokio::select! {
        () = server.run(Arc::clone(app)) => {}
        () = serve_page(context, page) => {}
        () = look_after(app) => {}
        () = ends.next() => {}
        () = input_ends(ends_with_input) => {}
    }
    Ok(())
}

/// Flushes the index, which only shortens the next start, and takes in what has become due.
async fn look_after(app: &Arc<App>) {
    let mut tick = tokio::time::interval(Duration::from_secs(30));
    loop {
        tick.tick().await;
        let app = Arc::clone(app);
        let done = tokio::task::spawn_blocking(move || {
            app.gate().release(app.store())?;
            app.store().flush()
        });
        if let Ok(Err(error)) = done.await {
            tracing::warn!(%error, "the index could not be flushed");
        }
    }
}
