//! Commands that cannot be done, with what the message must name.

/// A command that fails.
pub(super) struct Provoked {
    pub(super) topic: &'static str,
    pub(super) words: &'static [&'static str],
    pub(super) code: i32,
    /// The input that was wrong, or what it was wrong about.
    pub(super) names: &'static str,
}

const fn fails(
    topic: &'static str,
    code: i32,
    words: &'static [&'static str],
    names: &'static str,
) -> Provoked {
    Provoked { topic, words, code, names }
}

/// Files that the commands read.
pub(super) const FILES: [(&str, &str); 11] = [
    (
        "slips.csv",
        "trial,species,started,started_on,arm,lift_on,lift_alive,lift_rooted,lift_dead,lift_lost\n\
         M8,Morus nigra,24,2026-06-05,A,2026-09-12,3,5,7,0\n\
         M9,,x,2026-06-05,A,2026-09-12,17,0,9,0\n",
    ),
    ("unknown.csv", "trial,species,started_on\nM8,Morus nigra,2026-06-05\n"),
    ("days.csv", "trial,species,started,started_on\nM8,Morus nigra,24,5/6/26\n"),
    ("tomorrow.csv", "trial,species,started,started_on\nM8,Morus nigra,24,2062-06-05\n"),
    ("empty.csv", ""),
    ("results.csv", "grower,trial,arm,method,medium,region,stuck,rooted\ng1,t1,1,m,p,all,20,30\n"),
    ("good.csv", "grower,trial,arm,method,medium,region,stuck,rooted\ng1,t1,1,m,p,all,20,3\n"),
    (
        "two.csv",
        "grower,trial,arm,method,medium,region,stuck,rooted,species\ng1,t1,1,m,p,all,20,3,Cornus mas\ng2,t1,1,m,p,all,20,3,Morus nigra\n",
    ),
    ("sites.csv", "grower,temp,rain\ng1,cold,800\n"),
    ("garbage.bundle", "no bundle at all, but long enough to be looked at"),
    ("sheet.txt", "0000 0000 0000"),
];

const LINE: &str = "The command line";
const HOMES: &str = "Homes and places";
const TABLES: &str = "Tables";
const SETTING_UP: &str = "Setting up";
const COUNTING: &str = "Counting";
const PUBLISHING: &str = "Publishing and keys";
const ASKING: &str = "Pooling, comparing, planning";
const OTHERS: &str = "Other growers";

/// In the order of the table.
pub(super) const PROVOKED: &[Provoked] = &[
    fails(LINE, 2, &["trail", "list"], "trail"),
    fails(LINE, 2, &["trial", "lst"], "lst"),
    fails(LINE, 2, &["pool", "--whos", "mine"], "--whos"),
    fails(LINE, 2, &["lift"], "<TRIAL>"),
    fails(LINE, 2, &["serve", "--page-port", "all"], "all"),
    fails(LINE, 2, &["pool", "Morus nigra", "--whose", "frends"], "frends"),
    fails(HOMES, 1, &["init", "--network", "My Group"], "My Group"),
    fails(HOMES, 1, &["init", "--network", "elsewhere"], "elsewhere"),
    fails(HOMES, 2, &["site", "--zone", "99z", "--hemisphere", "north"], "99z"),
    fails(HOMES, 2, &["site", "--zone", "-9", "--hemisphere", "north"], "-9 C is zone 8b"),
    fails(HOMES, 2, &["site", "--zone", "150 F", "--hemisphere", "north"], "150 F"),
    fails(HOMES, 2, &["settings", "country", "England"], "England"),
    fails(HOMES, 2, &["site", "--zone", "9a", "--latitude", "375"], "375"),
    fails(HOMES, 2, &["site", "--zone", "9a", "--latitude", "-37.5", "--hemisphere", "north"], "-37.5"),
    fails(HOMES, 2, &["site", "--hemisphere", "north", "--six", "5,18"], "six"),
    fails(HOMES, 2, &["serve", "--listen", "localhost:48620"], "localhost:48620"),
    fails(TABLES, 1, &["trial", "import", "slips.csv", "--yes"], "slips.csv, row 2, column \"lift_rooted\""),
    fails(TABLES, 1, &["trial", "import", "unknown.csv", "--yes"], "started"),
    fails(
        TABLES,
        1,
        &["trial", "import", "days.csv", "--yes"],
        "days.csv, row 2, column \"started_on\": \"5/6/26\"",
    ),
    fails(
        TABLES,
        1,
        &["trial", "import", "tomorrow.csv", "--yes"],
        "tomorrow.csv, row 2, column \"started_on\": 2062-06-05",
    ),
    fails(TABLES, 1, &["trial", "import", "empty.csv", "--yes"], "empty.csv"),
    fails(TABLES, 2, &["trial", "import", "nowhere.csv", "--yes"], "nowhere.csv"),
    fails(TABLES, 2, &["trial", "import", "good.csv", "--map", "grower", "--yes"], "grower"),
    fails(TABLES, 2, &["trial", "import", "good.csv", "--map", "arm=treatmet", "--yes"], "treatmet"),
    fails(TABLES, 1, &["pool", "--from", "results.csv"], "results.csv, row 2, column \"rooted\""),
    fails(TABLES, 1, &["pool", "--from", "two.csv"], "two.csv"),
    fails(TABLES, 1, &["compare", "g1/t1", "--from", "good.csv", "--sites", "sites.csv"], "sites.csv, row 2"),
    fails(TABLES, 2, &["pool", "--from", "."], "."),
    fails(SETTING_UP, 1, &["trial", "new", "M1", "Morus nigra", "--count", "4"], "M1"),
    fails(SETTING_UP, 1, &["trial", "new", "X1", "mulberry!", "--count", "4"], "mulberry!"),
    fails(SETTING_UP, 1, &["trial", "new", "X1", "Morus nigra"], "how many are started"),
    fails(
        SETTING_UP,
        1,
        &["trial", "new", "X1", "Morus nigra", "--count", "4", "--method", "hormne=IBA"],
        "hormne",
    ),
    fails(
        SETTING_UP,
        1,
        &["trial", "new", "X1", "Morus nigra", "--count", "4", "--method", "wood=soft-ripe"],
        "soft-ripe",
    ),
    fails(
        SETTING_UP,
        1,
        &["trial", "new", "X1", "Morus nigra", "--count", "4", "--treatment", "auxin=none"],
        "auxin=none",
    ),
    fails(SETTING_UP, 1, &["trial", "new", "X1", "Morus nigra", "--count", "4", "--parent", "F9"], "F9"),
    fails(SETTING_UP, 1, &["stick", "P1"], "2026-06-06"),
    fails(SETTING_UP, 1, &["stick", "N1", "--on", "5-4"], "5-4"),
    fails(SETTING_UP, 2, &["trial", "layout", "P1", "--columns", "0"], "columns"),
    fails(SETTING_UP, 1, &["log", "mist house", "--shade", "30 %"], "30 %"),
    fails(SETTING_UP, 1, &["log", "mist house", "--shade", "30 % blocked"], "mist house"),
    fails(SETTING_UP, 1, &["bench", "bench 1", "--about", "="], "\"=\""),
    fails(SETTING_UP, 1, &["bench", "bench 1", "--about", "pots=3"], "pots=3"),
    fails(SETTING_UP, 1, &["bench", "bench 1", "--about", "wood=hardwood"], "wood"),
    fails(SETTING_UP, 1, &["stock", "old hedge", "--about", "stock age=-3"], "-3"),
    fails(SETTING_UP, 2, &["stock", "", "--about", "stock age=8"], "\"\""),
    fails(SETTING_UP, 1, &["cautions", "hide", "mst"], "mst"),
    fails(COUNTING, 1, &["note", "M1", "--note", " "], "M1"),
    fails(COUNTING, 1, &["check", "N1"], "N1"),
    fails(COUNTING, 1, &["check", "M9"], "M9"),
    fails(COUNTING, 1, &["check", "P1", "--on", "2026-02-30"], "2026-02-30"),
    fails(COUNTING, 1, &["check", "P1", "--on", "2026-05-01"], "2026-05-01"),
    fails(COUNTING, 1, &["check", "P1", "--on", "2062-07-01"], "2062-07-01"),
    fails(COUNTING, 1, &["check", "P1", "--on", "2026-07-01", "P9:dead=1"], "P9"),
    fails(COUNTING, 1, &["check", "P1", "--on", "2026-07-01", "P1:ded=1"], "ded"),
    fails(COUNTING, 1, &["check", "P1", "--on", "2026-07-01", "P1:dead=some"], "some"),
    fails(COUNTING, 1, &["check", "P1", "--on", "2026-07-01", "P1:dead=9"], "P1"),
    fails(COUNTING, 1, &["lift", "P1", "--on", "2026-09-01"], "P1"),
    fails(COUNTING, 1, &["lift", "P1", "--on", "2026-09-01", "P1:rooted=2,alive=2,dead=0"], "P1"),
    fails(COUNTING, 1, &["lift", "P1", "--on", "2026-09-01", "dead=1"], "dead=1"),
    fails(COUNTING, 1, &["undo", "P1", "99"], "99"),
    fails(COUNTING, 1, &["trial", "edit", "P1"], "P1"),
    fails(COUNTING, 2, &["sell", "P1", "P1=1", "P2=1"], "P2=1"),
    fails(COUNTING, 2, &["sell", "P1", "P1=few"], "P1=few"),
    fails(COUNTING, 1, &["sell", "P1", "P1=40", "--on", "2026-09-01"], "40"),
    fails(PUBLISHING, 1, &["publish", "M1"], "M1"),
    fails(PUBLISHING, 1, &["publish", "N1", "--yes"], "N1"),
    fails(PUBLISHING, 1, &["publish", "M11"], "M11"),
    fails(PUBLISHING, 1, &["withdraw", "M1"], "M1"),
    fails(PUBLISHING, 2, &["withdraw", "M1", "--reason", "mistakn"], "mistakn"),
    fails(PUBLISHING, 1, &["key", "replace"], "key"),
    fails(PUBLISHING, 2, &["key", "cancel", "--from", "December"], "December"),
    fails(PUBLISHING, 1, &["key", "cancel", "--key", "xyz", "--from", "2026-11", "--yes"], "xyz"),
    fails(PUBLISHING, 1, &["key", "cancel", "--sheet", "sheet.txt", "--yes"], "sheet.txt"),
    fails(ASKING, 1, &["pool", "Moris nigra"], "Moris nigra"),
    fails(ASKING, 1, &["pool", "12"], "12"),
    fails(ASKING, 1, &["pool", "Cornus mas"], "Cornus mas"),
    fails(ASKING, 2, &["pool", "Morus nigra", "--by", "colour"], "colour"),
    fails(ASKING, 2, &["pool", "Morus nigra", "--where", "auxin"], "auxin"),
    fails(ASKING, 2, &["pool", "--from", "good.csv", "--whose", "mine"], "--whose"),
    fails(ASKING, 2, &["pool", "Morus nigra", "--effects=auxn"], "auxn"),
    fails(ASKING, 1, &["compare", "M9"], "M9"),
    fails(ASKING, 1, &["compare", "M1", "--stage", "spring"], "trial \"M1\""),
    fails(ASKING, 2, &["compare", "g9/t9", "--from", "good.csv"], "--sites"),
    fails(ASKING, 2, &["plan", "--from", "good.csv", "--sure", "80"], "80"),
    fails(ASKING, 1, &["plan", "--from", "good.csv", "--own", "g7"], "g7"),
    fails(ASKING, 1, &["plan", "Moris nigra"], "Moris nigra"),
    fails(ASKING, 1, &["names", "Ribes nigram"], "Ribes nigram"),
    fails(ASKING, 1, &["names", "Cornus mas", "--apart"], "Cornus mas"),
    fails(OTHERS, 2, &["peers", "add", "hello"], "hello"),
    fails(OTHERS, 1, &["peers", "add", "/ip4/192.0.2.7/tcp/48620"], "/ip4/192.0.2.7/tcp/48620"),
    fails(OTHERS, 1, &["peers", "invite"], "invite"),
    fails(OTHERS, 1, &["trust", "add", "xyz"], "xyz"),
    fails(OTHERS, 1, &["trust", "add", "00ff00ff"], "00ff00ff"),
    fails(
        OTHERS,
        1,
        &["trust", "add", "0000000000000000000000000000000000000000000000000000000000000000"],
        "00000000",
    ),
    fails(OTHERS, 1, &["peers", "disallow", ""], "\"\""),
    fails(OTHERS, 1, &["trust", "unvouch", "the mill"], "the mill"),
    fails(OTHERS, 1, &["bundle", "import", "garbage.bundle"], "garbage.bundle"),
    fails(OTHERS, 2, &["bundle", "import", "nowhere.bundle"], "nowhere.bundle"),
    fails(OTHERS, 2, &["bundle", "export", "garbage.bundle"], "garbage.bundle"),
    fails(
        OTHERS,
        1,
        &["bundle", "export", "new.bundle", "--missing-for", "garbage.bundle"],
        "garbage.bundle",
    ),
    fails(OTHERS, 2, &["bundle", "request", "."], "a folder"),
    fails(OTHERS, 2, &["bundle", "request", "nowhere/new.request"], "cannot make nowhere/new.request: "),
    fails(OTHERS, 2, &["export", "good.csv"], "good.csv"),
    fails(OTHERS, 2, &["man", "--into", "good.csv"], "good.csv"),
];
