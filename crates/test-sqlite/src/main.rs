//! Prints the folder of sqlite3.h and the folder of libsqlite3.a, one a line.

use libsqlite3_sys as _;

fn main() {
    println!("{}\n{}", env!("SQLITE_INCLUDE"), env!("SQLITE_LIB_DIR"));
}
