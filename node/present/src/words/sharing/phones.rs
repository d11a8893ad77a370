//! Letting a phone in, and shutting it out again.

/// Where no phone can come in.
pub const DESK_ONLY: &str =
    "The page is served to this computer only. To let a phone in, stop Propagule and start it with:";
/// What starts it so.
pub const WITH_LAN: &str = "propagule serve --lan";
/// What a phone is good for.
pub const WHAT_FOR: &str =
    "A phone in the same Wi-Fi can show Today and Bench while this computer is on and Propagule runs.";
/// The warning.
pub const NOT_ENCRYPTED: &str = "The connection to the phone is not encrypted.";
/// What follows from it.
pub const WHAT_FOLLOWS: &str = "Whoever is in the same Wi-Fi can read what the phone shows and sends, and could act as the phone. Use it in a network that you trust; otherwise use the printed sheet. Publishing, sites and keys stay at this computer.";
/// Makes a code.
pub const MAKE_CODE: &str = "Make a code for a phone";
/// Makes another.
pub const ANOTHER_CODE: &str = "Another code";
/// The heading while a code waits.
pub const LET_IN: &str = "Let a phone in";
/// How long it waits.
pub const ONE_PHONE: &str = "It lets one phone in, within five minutes and five tries.";

/// How a phone comes in, around the address that is opened.
pub const HOW: [&str; 2] =
    ["On the phone, read this picture with the camera, or open ", " and type the code."];

/// What the picture shows, for those who do not see it.
pub fn picture_of(link: &str) -> String {
    format!("QR code of {link}")
}

/// The heading of the list.
pub const INSIDE: &str = "Phones that are in";
/// Where there are none.
pub const NONE: &str = "None.";
/// Shuts every phone out.
pub const SHUT_ALL: &str = "Shut all out";

/// One that is in.
pub fn since(number: impl std::fmt::Display, at: &str) -> String {
    format!("Phone {number}, let in at {at} (universal time)")
}

/// Shuts it out.
pub fn shut(number: impl std::fmt::Display) -> String {
    format!("Shut phone {number} out")
}

/// The heading at the phone, and its button.
pub const LET_THIS_IN: &str = "Let this phone in";
/// The field.
pub const CODE: &str = "Code";
/// Where the code is found.
pub const CODE_HELP: &str = "Eight letters and digits, as the computer shows them in Share, Phones";
/// It worked.
pub const IS_IN: &str = "This phone is in";
/// For how long.
pub const UNTIL: &str = "It shows Today and Bench until it is shut out at the computer, or Propagule stops.";
/// Leads on.
pub const GO: &str = "Go to Today";
