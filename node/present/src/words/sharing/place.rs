//! Where one grows.

/// The heading.
pub const TITLE: &str = "Where you grow";
/// Before there is a site.
pub const NONE: &str = "A trial needs a site before it can be published. Zone and hemisphere are enough.";
/// Leads to the form of the first.
pub const DESCRIBE_YOURS: &str = "Describe your site";
/// Leads to the form of another.
pub const DESCRIBE_ANOTHER: &str = "Describe a site";
/// The field of its name.
pub const NAME: &str = "Your name for the site";
/// Who learns of it.
pub const NAME_HELP: &str = "It stays at home";
/// The field of the hemisphere.
pub const HEMISPHERE: &str = "Hemisphere";
/// What it is for.
pub const HEMISPHERE_HELP: &str = "It sets the season";
/// The hemispheres by what a form sends.
pub const HEMISPHERES: [(&str, &str); 3] =
    [("", "choose"), ("north", "north of the equator"), ("south", "south of the equator")];
/// The field of the zone.
pub const ZONE: &str = "Hardiness zone";
/// An example.
pub const ZONE_HELP: &str = "Such as 8b, by the lowest winter temperature";
/// What is entered elsewhere, around the command.
pub const MONTHS: [&str; 2] = [
    "Monthly temperature and rain make comparing better; they are entered in the terminal: ",
    ". What is entered there stays when the zone is changed here.",
];
/// That command.
pub const MONTHS_COMMAND: &str = "propagule site --help";
