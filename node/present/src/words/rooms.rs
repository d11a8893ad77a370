//! What the rooms of the page and their pages are called, and what stands around each of them.

use crate::kind::{in_dialect, reads};

/// A room of the page: what the grower goes to from everywhere.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Room {
    /// What to do, where, now.
    Today,
    /// What stands where, and how it fares.
    Bench,
    /// What growers found out.
    Works,
    /// What leaves, and who counts.
    Share,
}

impl Room {
    /// In the order in which they are shown.
    pub const ALL: [Self; 4] = [Self::Today, Self::Bench, Self::Works, Self::Share];

    /// Its name.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Today => "Today",
            Self::Bench => "Bench",
            Self::Works => "What works",
            Self::Share => "Share",
        }
    }
}

/// A page that a room leads to at once.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RoomPage {
    /// What is due.
    Today,
    /// All trials.
    Trials,
    /// Setting up a trial.
    New,
    /// Benches, beds and houses.
    Benches,
    /// Stock plants.
    StockPlants,
    /// Bringing in a spreadsheet.
    Import,
    /// What roots a plant.
    Methods,
    /// The own trial among those of growers in a like climate.
    Near,
    /// How many to start, and what to try.
    Many,
    /// What leaves and what stays.
    Publish,
    /// Who counts, and whether all is well.
    People,
    /// Letting a phone in.
    Phones,
}

impl RoomPage {
    /// Room by room, in the order in which they are shown.
    pub const ALL: [Self; 12] = [
        Self::Today,
        Self::Trials,
        Self::New,
        Self::Benches,
        Self::StockPlants,
        Self::Import,
        Self::Methods,
        Self::Near,
        Self::Many,
        Self::Publish,
        Self::People,
        Self::Phones,
    ];

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Today => "Today",
            Self::Trials => "All trials",
            Self::New => "New trial",
            Self::Benches => "Benches",
            Self::StockPlants => in_dialect("Stock plants", reads().dialect),
            Self::Import => "Import a spreadsheet",
            Self::Methods => "Methods",
            Self::Near => "Near you",
            Self::Many => "How many",
            Self::Publish => "Publish",
            Self::People => "People",
            Self::Phones => "Phones",
        }
    }

    /// The room it belongs to.
    pub const fn room(self) -> Room {
        match self {
            Self::Today => Room::Today,
            Self::Trials | Self::New | Self::Benches | Self::StockPlants | Self::Import => Room::Bench,
            Self::Methods | Self::Near | Self::Many => Room::Works,
            Self::Publish | Self::People | Self::Phones => Room::Share,
        }
    }
}

/// The first stop of the keyboard.
pub const SKIP: &str = "Skip to the page";

/// The state of what was entered, while nothing waits on the device.
pub const SAVED: &str = "Saved at home";

/// What the list of rooms is called for those who do not see it.
pub const ROOMS: &str = "Rooms";

/// What the pages of a room are called for those who do not see them.
pub fn pages_of(room: Room) -> String {
    format!("Pages of {}", room.name())
}

/// The way back from a task.
pub fn back_to(name: &str) -> String {
    format!("Back to {name}")
}

/// Leads in from the one-time address.
pub const COME_IN: &str = "Come in";

/// The title in the browser's tab.
pub fn tab(title: &str) -> String {
    format!("{title} – Propagule")
}

/// Below every page that a phone shows.
pub const NOT_ENCRYPTED: &str = "This connection is not encrypted: whoever is in this Wi-Fi can read along.";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_room_leads_somewhere_and_pages_stand_together() {
        let rooms: Vec<Room> = RoomPage::ALL.map(RoomPage::room).to_vec();
        let mut seen = rooms.clone();
        seen.dedup();
        assert_eq!(seen, Room::ALL, "each room once, in order: its pages stand beside each other");
        assert_eq!(
            (pages_of(Room::Works), back_to("M2")),
            ("Pages of What works".into(), "Back to M2".into())
        );
    }
}
