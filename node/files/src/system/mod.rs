//! Everything that differs by system, behind one face; nothing else in the program asks which system it runs on.

mod unix;

pub use unix::{
    Access, LocalListener, LocalStream, Terminations, close_to_others, connect, create_private, free_bytes,
    interrupt, is_of_this_user, mode_bits, open_to_others, private_folder, read_exact_at, restart_in_place,
    terminal_columns, write_all_at,
};
