//! What stands below the options of some commands: everything that can be typed there.

/// What can be counted.
pub const COUNTS: &str =
    "At a check one number a pot in the order of the tags (see `propagule trial pots`) is those alive now:
  11 alive   11r3 and 3 of them rooted   8l2 and 2 lost   8d2 and 2 died   11! some counted dead are alive
  =  as before   .  not checked: stays as it was
At a stage it is how many rooted (took, germinated), then others by letter: 4g1d1l1 is 4, 1 green, 1 dead, 1 lost.

Or by pot: POT:what=how many[,what=how many…], POT:r4,g1,d1,l1, or TREATMENT:… where there is one pot.
  alive, dead, lost, not-seen         exclude each other, and add up to what was left at the last count;
                                      dead and lost are those since then; of alive alone, the others died
  of-rooted                           of the dead, those that had rooted
  found-alive                         counted dead before, found alive now
  green                               alive, not rooted; all that are left: then none has rooted
  rooted (taken, germinated, growing), callused, established, finished, sound
  yellow, leaf-drop, wilted, mold, new-shoot, roots-showing, leafing-out
                                      may overlap: a count, or none, some, most
  cause=…, root-counts=3/5/2, longest-root=40, grade=0/1/2/5 (how many of each grade from 0), scale=…";

/// What can be said of a treatment.
pub const TREATMENTS: &str = "A treatment is 'LABEL: key=value; key=value', with
  kind, type (form), wood, medium (mix), hormone, solvent, wound, leaves, mist or cover, bottom heat (heat),
  container, structure, rootstock, pretreatment, bbch, origin, age, watering, pinched, flower buds, light,
  cultivar, scarified          the method, as far as you know it
  pots, per pot, count         how many pots, and how many in each; count where there are no pots
  stock plant, bench           where its cuttings come from, and where it stands
  grafted by, stuck by         who does the work; it stays at home
  else                         what is different that none of these says
Words that hold a semicolon stand in double quotes: 'A: medium=\"peat; perlite\"'";

/// What a table of trials may hold.
pub const COLUMNS: &str = "A row is a treatment, a pot, or one cutting. Columns:
  trial, species, started, started_on        code, plant, how many were stuck, and the day: by a column, a heading or --set
  arm, pot, rep, operator, stock_plant       label of the treatment; code or number of the pot; who did the work
  kind, wood, form, medium, auxin, humidity, leaves, wound, container, growing_place, \u{2026}
                                             the method, as far as you know it
  lift_on, lift_alive, lift_callused, lift_rooted, lift_dead, lift_lost
  season_on, season_rooted, \u{2026}   spring_on, spring_rooted, \u{2026}   final_on, final_finished, \u{2026}
                                             counts, each with its day; a blank is not a zero
  14-Jun, 28-Jun, \u{2026}                        a day as heading: a check; 'Rooted 23-Aug': outcome and day
  suckers, grower, place, spot, stock_plants, randomised, blocked, scored_blind, note
                                             grower: whom you enter it for; names and notes stay at home
Other headings are mapped with --map, and remembered for the next table with the same headings.";
