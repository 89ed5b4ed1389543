//! From finished pieces and the texts of an order to sheets: one drawing list, and its writers.
//!
//! ```text
//! Order -> pages (a drawing list each, in millimetres, y down) -> PDF | SVG | DXF | HP-GL/2 | PNG
//! ```
//! Invariants: nothing is scaled between the drawing list and the paper but by the 72/25.4 of the PDF
//! writer; only the stitching line of a piece is taken as given, and its cutting line comes from
//! `piece`; nothing dates a file but the card's own date; the same order gives the same bytes.
//! This crate knows no client, card or method: plain texts come in, bytes go out.
#![warn(clippy::disallowed_methods)]

#[doc(hidden)]
pub mod audit;
pub mod figure;
pub mod hand;
pub mod order;
pub mod words;

mod ascii;
mod blank;
mod cloth;
mod construction;
mod cover;
mod dash;
mod drawing;
mod dxf;
mod ellwand;
mod face;
mod flow;
mod grid;
mod label;
mod large;
mod letters;
mod lie;
pub mod locale;
mod long_check;
mod nest;
mod number;
mod opened;
mod page;
mod pattern;
mod pdf;
mod picked;
mod plotter;
mod png;
mod quad;
pub mod quote;
#[cfg(test)]
mod samples;
mod steps;
mod svg;
mod tile;
mod tile_map;
mod traced;
#[cfg(test)]
mod trial;
mod wording;

pub use blank::{BlankCard, BlankMeasure, blank_card_pdf};
pub use cloth::{
    ClothFold, ClothLay, ClothLayers, ClothPiece, ClothScrap, cloth_full_pdf, cloth_pdf, cloth_plt,
    cloth_svg,
};
#[doc(hidden)]
pub use cloth::{cloth_lacks, cloth_touching};
pub use dxf::pattern_dxf;
pub use face::can_set;
pub use hand::{Hand, class_pdf, hand_pdf};
pub use large::{LargePaper, Placed, large_pdf, large_sheets, nested};
pub use order::{
    Alteration, Construct, Fact, Leave, NotchWord, Order, Paper, SheetFault, SheetPiece, StepText,
    Told, Weight,
};
pub use pattern::{Pages, pattern_pages, pattern_pdf, pattern_svg, preview_png};
pub use picked::{page_count, picked_pages};
pub use plotter::pattern_plt;
pub use quote::{QuoteRow, QuoteSheet, quote_pdf};
pub use tile_map::{PieceTiles, TileAt, TileMap, tile_map};
