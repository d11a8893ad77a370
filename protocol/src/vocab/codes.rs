//! The code lists. Position 0 of a list is code 2; a list only ever grows at its end.

use super::Facet;
use crate::code::Code;

/// One entry: the word shown, and other spellings growers use.
pub(super) type Entry = (&'static str, &'static [&'static str]);

pub(super) const KIND: &[Entry] = &[
    ("seed", &["seeds", "sowing", "seedlings"]),
    ("stem cutting", &["cutting", "cuttings", "stem cuttings", "stem", "live stake", "truncheon", "pole"]),
    ("leaf-bud cutting", &["leaf-bud", "leaf-bud cuttings", "leaf-bud cutting"]),
    ("leaf cutting", &["leaf cuttings"]),
    ("root cutting", &["root cuttings"]),
    ("layer", &["layering", "layers"]),
    ("division", &["divide", "split", "divisions", "crown division", "rhizome division"]),
    ("offset", &["offsets", "pup", "keiki"]),
    ("bulb splitting", &["corm splitting", "bulb or corm splitting", "bulb division"]),
    (
        "graft",
        &[
            "grafting",
            "grafts",
            "bench graft",
            "bench grafting",
            "field graft",
            "field grafting",
            "topworking",
            "top-working",
        ],
    ),
    ("bud", &["budding", "buds"]),
    ("cutting-graft", &["cutting graft", "stenting"]),
    ("micropropagation", &["tissue culture", "in vitro", "tc"]),
    ("sucker", &["suckers", "root sucker", "root suckers"]),
    ("runner", &["runners", "stolon", "stolons"]),
    ("spores", &["spore"]),
];

pub(super) const WOOD: &[Entry] = &[
    ("herbaceous", &[]),
    ("softwood", &["soft", "soft tip"]),
    ("greenwood", &["green"]),
    ("semi-ripe", &["semi-hardwood", "semi-hard", "semi-ripe wood", "half-ripe"]),
    (
        "hardwood",
        &[
            "hardwood deciduous",
            "deciduous hardwood",
            "hard",
            "dormant",
            "dormant hardwood",
            "dormant wood",
            "one-year wood",
            "last year's wood",
        ],
    ),
    ("evergreen hardwood", &["hardwood evergreen", "ripewood", "ripe wood"]),
    ("root", &[]),
    ("older wood", &["two-year wood", "old wood"]),
];

pub(super) const FORM: &[Entry] = &[
    ("straight", &[]),
    ("heel", &["with heel", "heel cutting"]),
    ("mallet", &[]),
    ("tip", &["terminal", "tip cutting"]),
    ("sub-terminal", &["subterminal"]),
    ("medial", &["middle", "stem section"]),
    ("basal", &[]),
    ("nodal", &[]),
    ("internodal", &[]),
    ("single-node", &["one-node", "single node", "single-bud"]),
    ("two-node", &["two node", "double-node"]),
    ("eye", &["single eye", "vine eye"]),
    ("root proximal", &["proximal", "near end up"]),
    ("root distal", &["distal"]),
    ("simple", &["simple layer", "pegged down"]),
    ("serpentine", &["compound"]),
    ("mound", &["stool", "stooling", "stool bed"]),
    ("trench", &["etiolation"]),
    ("air", &["air layer", "marcotting", "marcot"]),
    ("whip", &["whip graft", "plain whip"]),
    ("whip-and-tongue", &["whip and tongue", "w&t", "tongue graft", "whip and tongue graft"]),
    ("cleft", &["cleft graft", "wedge", "top wedge"]),
    ("side-veneer", &["side veneer", "veneer"]),
    ("splice", &["splice graft"]),
    ("bark", &["rind", "bark graft", "crown"]),
    ("bridge", &[]),
    ("saddle", &[]),
    ("approach", &[]),
    ("chip", &["chip bud", "chip budding"]),
    ("T", &["shield", "t-bud", "t bud", "t-budding", "inverted t"]),
    ("patch", &["patch bud", "patch budding"]),
    ("stage 0", &["stock preparation"]),
    ("stage 1", &["initiation"]),
    ("stage 2", &["multiplication"]),
    ("stage 3", &["rooting"]),
    ("stage 4", &["acclimatisation"]),
    ("inarch", &["inarching"]),
    ("side stub", &["stub"]),
    ("side tongue", &[]),
    ("omega", &["machine graft"]),
    ("ring", &["flute"]),
    ("four-flap", &["banana"]),
    ("continuous", &["french", "french layer", "continuous layer"]),
    ("drop", &["dropping"]),
    ("scales", &["scaling", "bulb scales"]),
    ("twin scales", &["twin-scaling"]),
    ("bulb chips", &["bulb chipping"]),
    ("scooping", &["scoring"]),
];

pub(super) const MEDIUM: &[Entry] = &[
    ("peat", &["peat moss", "sphagnum peat"]),
    ("perlite", &["coarse perlite", "fine perlite", "medium perlite", "super coarse perlite"]),
    ("vermiculite", &["fine vermiculite", "coarse vermiculite"]),
    ("coir", &["coco coir", "coconut fibre", "coco"]),
    ("bark", &["pine bark", "composted bark", "bark mix", "bark fines", "composted pine bark"]),
    ("sharp sand", &["sand", "coarse sand", "concrete sand", "propagating sand"]),
    ("grit", &["gravel", "pea gravel"]),
    ("pumice", &[]),
    ("plug", &[]),
    ("leafmould", &["leaf mould", "leafmold", "leaf mold", "leaf compost"]),
    ("soil", &["loam", "earth", "garden soil"]),
    ("compost", &[]),
    ("water", &[]),
    ("aeroponic", &["air", "cloner"]),
    (
        "potting mix",
        &["potting soil", "potting compost", "multipurpose compost", "soilless mix", "multi-purpose compost"],
    ),
    (
        "garden compost",
        &["homemade compost", "green-waste compost", "green waste compost", "home-made compost"],
    ),
    ("sphagnum", &["long-fiber sphagnum", "long-fibre sphagnum", "live moss"]),
    ("rice hulls", &["rice husks"]),
    (
        "seed and cutting mix",
        &[
            "seed-raising mix",
            "seed compost",
            "seed starter",
            "cutting compost",
            "propagating mix",
            "seed and cutting compost",
        ],
    ),
    ("rockwool", &["stone wool"]),
    ("rooting foam", &["floral foam", "foam plug"]),
    ("peat plug", &["peat pellet"]),
    ("calcined clay", &[]),
    ("clay pebbles", &["leca"]),
    ("wood fiber", &["wood fibre"]),
    ("sawdust", &[]),
    ("scoria", &[]),
    ("agar", &["gel"]),
    ("fine sand", &["silver sand"]),
];

pub(super) const SUBSTANCE: &[Entry] = &[
    ("IBA", &["indole-3-butyric acid", "indolebutyric acid"]),
    ("K-IBA", &["kiba", "iba potassium salt", "potassium iba"]),
    ("NAA", &["1-naphthaleneacetic acid"]),
    ("IAA", &["indole-3-acetic acid"]),
    ("none", &[]),
    ("NAA salt", &["k-naa", "naa potassium salt", "potassium naa", "naa sodium salt"]),
    ("NAD", &["naphthylacetamide", "1-naphthaleneacetamide"]),
    ("willow water", &["willow"]),
    ("honey", &[]),
    ("aloe", &[]),
    ("seaweed", &["kelp"]),
];

pub(super) const AUXIN_FORM: &[Entry] = &[
    ("powder", &["talc", "dust", "talc powder", "hormone powder"]),
    ("gel", &[]),
    ("quick dip", &["dip", "quick-dip", "basal dip", "liquid", "liquid dip"]),
    ("soak", &["long soak", "overnight soak"]),
    ("immersion", &["total immersion"]),
    ("spray", &["foliar spray", "foliar"]),
    ("none", &[]),
    ("carrier only", &["carrier-only", "carrier", "talc only", "solvent only", "water only"]),
    ("paste", &["lanolin", "lanolin paste"]),
];

pub(super) const SOLVENT: &[Entry] = &[
    ("water", &[]),
    ("ethanol", &["alcohol", "meths"]),
    ("isopropanol", &["isopropyl alcohol", "rubbing alcohol", "isopropyl"]),
    ("sodium hydroxide", &["naoh", "lye"]),
    ("glycol", &["propylene glycol"]),
];

pub(super) const WOUND: &[Entry] = &[
    ("none", &["not wounded", "no"]),
    ("light", &["light one-side", "one side", "scraped", "sliver off"]),
    ("heavy", &["heavy two-side", "two sides", "both sides", "double"]),
    ("slit", &["two slits"]),
    ("leaf-strip", &["leaves stripped", "leaf-strip only", "lower leaves off"]),
];

pub(super) const LEAVES: &[Entry] = &[
    ("whole", &["all", "full", "1", "whole leaf", "whole leaves"]),
    ("halved", &["half", "1/2", "cut in half", "half leaf", "half leaves"]),
    ("quartered", &["quarter", "1/4"]),
    ("none", &["leafless", "removed", "0", "stripped"]),
];

pub(super) const HUMIDITY: &[Entry] = &[
    ("open", &["none", "uncovered", "open air", "no cover"]),
    (
        "dome",
        &[
            "bag",
            "propagator",
            "lid",
            "humidity dome",
            "propagator lid",
            "cloche on pot",
            "plastic bag",
            "sealed box",
            "jar over",
        ],
    ),
    (
        "polythene tent",
        &["tent", "contact polythene", "poly tent", "plastic tent", "contact film", "under poly"],
    ),
    ("mist", &["intermittent mist", "misting"]),
    ("fog", &["fogger"]),
    ("high-pressure fog", &[]),
    ("submist", &["aeroponic mist"]),
];

pub(super) const CONTAINER: &[Entry] = &[
    ("open bed", &["bed", "nursery bed", "in the ground"]),
    ("flat", &["tray", "seed tray", "punnet"]),
    ("cell tray", &["cells", "plug tray", "modules", "module tray"]),
    ("pot", &["pots"]),
    ("bag", &["bags", "grow bag"]),
    ("bare-root bundle", &["bundle", "bare-root"]),
    ("deep pot", &["deep pots", "long pot", "rose pot", "long tom", "treepot"]),
    ("tube", &["tubes", "tubestock", "forestry tube", "deep cell"]),
    ("jar", &["glass of water", "vessel"]),
];

pub(super) const GROWING_PLACE: &[Entry] = &[
    ("open bed", &["outdoors", "outside", "bed", "field", "ground bed"]),
    ("cold frame", &["frame"]),
    ("tunnel", &["polytunnel", "hoop house", "hoophouse", "high tunnel", "polyhouse", "igloo"]),
    ("glass", &["greenhouse", "glasshouse"]),
    ("room", &["indoors", "house", "windowsill", "garage", "basement"]),
    ("shade house", &["shadehouse", "lath house"]),
    ("under lights", &["grow lights", "light shelf"]),
    ("low tunnel", &["cloche", "row cover"]),
    ("outdoors in pots", &["standing-out ground"]),
];

pub(super) const STOCK_ORIGIN: &[Entry] = &[
    ("seedling", &["seedlings", "from seed"]),
    ("own-root clone", &["own-root", "own root", "clone", "rooted cutting", "own roots", "cutting-grown"]),
    ("grafted", &["graft"]),
];

pub(super) const STOCK_AGE: &[Entry] = &[
    ("under 1 year", &["under a year"]),
    ("1-2 years", &[]),
    ("3-5 years", &[]),
    ("6-10 years", &[]),
    ("11-20 years", &[]),
    ("over 20 years", &["old"]),
];

/// Last whole year of each age band but the open one.
pub(super) const STOCK_AGE_LAST_YEAR: [u16; 5] = [0, 2, 5, 10, 20];

pub(super) const WATERING: &[Entry] = &[
    ("drained", &["free-draining", "drained between"]),
    ("kept moist", &["moist", "capillary mat"]),
    ("standing", &["standing water", "saucer"]),
];

pub(super) const FLOWER_BUDS: &[Entry] =
    &[("kept", &["left", "left on", "flower buds left"]), ("removed", &["taken off", "flower buds removed"])];

pub(super) const LIGHT: &[Entry] = &[
    ("0-20 % let through", &[]),
    ("20-40 % let through", &[]),
    ("40-60 % let through", &[]),
    ("60-80 % let through", &[]),
    ("80-100 % let through", &["full sun", "unshaded"]),
];

/// Bottom heat without a temperature.
pub(super) const BOTTOM_HEAT: &[Entry] = &[
    ("none", &["no", "off", "no bottom heat", "unheated"]),
    ("on", &["on, not measured", "not measured", "heat mat"]),
];

pub(super) const SCARIFIED: &[Entry] = &[
    ("no", &["none", "not scarified"]),
    ("cut or filed", &["cut", "filed", "nicked", "chipped", "sanded"]),
    ("acid", &["acid soak"]),
    ("hot water", &["boiling water"]),
];

/// Splice grafts of older records. A whip without a tongue is a splice graft: both count as one.
pub(super) const SPLICE: Code = Code(25);
const WHIP: Code = Code(21);

/// The code that stands for a form in groups, and the one that is written.
pub(super) fn form_in_groups(form: Code) -> Code {
    if form == SPLICE { WHIP } else { form }
}

/// Components of media that say too little to be written any more, with what to say instead.
pub(super) const VAGUE_MEDIA: [(Code, &[&str]); 2] =
    [(Code(10), &["rockwool", "rooting foam", "peat plug"]), (Code(13), &["potting mix", "garden compost"])];

pub(super) const WITHDRAWAL_REASON: &[Entry] = &[
    ("mistaken", &["mistake", "wrong counts", "error"]),
    ("wrong plant", &["wrong species", "misidentified"]),
    ("private again", &["private", "privacy"]),
];

/// The list of a facet that holds one code.
pub(super) fn of(facet: Facet) -> Option<&'static [Entry]> {
    Some(match facet {
        Facet::Kind => KIND,
        Facet::Wood => WOOD,
        Facet::Form => FORM,
        Facet::Solvent => SOLVENT,
        Facet::Wound => WOUND,
        Facet::Leaves => LEAVES,
        Facet::Humidity => HUMIDITY,
        Facet::Container => CONTAINER,
        Facet::GrowingPlace => GROWING_PLACE,
        Facet::StockOrigin => STOCK_ORIGIN,
        Facet::StockAge => STOCK_AGE,
        Facet::Watering => WATERING,
        Facet::FlowerBuds => FLOWER_BUDS,
        Facet::Light => LIGHT,
        Facet::Scarified => SCARIFIED,
        _ => return None,
    })
}
