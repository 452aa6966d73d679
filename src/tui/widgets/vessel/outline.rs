//! The outlines of vessels, from the top. `w` is a cell that wine can stand in; the last row with
//! one is the ground, whose cells hold wine or sediment, and are drawn as a line when there is none.

use super::Size;
use crate::cellar::thing::VesselKind;

/// The outline of a kind, in a size.
pub(super) const fn of(kind: VesselKind, size: Size) -> &'static [&'static str] {
    match size {
        Size::Small => small(kind),
        Size::Large => large(kind),
    }
}

/// 9 columns by 7 rows.
#[rustfmt::skip]
const fn small(kind: VesselKind) -> &'static [&'static str] {
    match kind {
        VesselKind::Carboy | VesselKind::Other => &[
            "   ╷ ╷   ",
            "   │w│   ",
            " ╭─╯w╰─╮ ",
            "╭╯wwwww╰╮",
            "│wwwwwww│",
            "│wwwwwww│",
            "╰wwwwwww╯",
        ],
        VesselKind::Demijohn => &[
            "   ╷ ╷   ",
            "   │w│   ",
            "  ╭╯w╰╮  ",
            " ╭╯www╰╮ ",
            "╭╯wwwww╰╮",
            "╰╮wwwww╭╯",
            " ╰wwwww╯ ",
        ],
        VesselKind::Jug => &[
            "   ╷ ╷   ",
            "   │w├─╮ ",
            "  ╭╯w╰╮│ ",
            " ╭╯www╰┤ ",
            " │wwwww│ ",
            " │wwwww│ ",
            " ╰wwwww╯ ",
        ],
        VesselKind::Bucket => &[
            "┌───────┐",
            "├wwwwwww┤",
            "│wwwwwww│",
            "│wwwwwww│",
            "╰╮wwwww╭╯",
            " │wwwww│ ",
            " ╰wwwww╯ ",
        ],
        VesselKind::Tank => &[
            "  ╭─┴─╮  ",
            "╭─╯www╰─╮",
            "│wwwwwww│",
            "│wwwwwww│",
            "│wwwwwww│",
            "├wwwwwww┤",
            "╵       ╵",
        ],
        VesselKind::Barrel => &[
            " ╭──┬──╮ ",
            "╭┤wwwww├╮",
            "│┊wwwww┊│",
            "│┊wwwww┊│",
            "│┊wwwww┊│",
            "╰┤wwwww├╯",
            " ╰─────╯ ",
        ],
        VesselKind::Keg => &[
            " ╭┬─┴─┬╮ ",
            " ├wwwww┤ ",
            " │wwwww│ ",
            " │wwwww│ ",
            " │wwwww│ ",
            " │wwwww│ ",
            " ╰wwwww╯ ",
        ],
    }
}

/// 13 columns by 9 rows.
#[rustfmt::skip]
const fn large(kind: VesselKind) -> &'static [&'static str] {
    match kind {
        VesselKind::Carboy | VesselKind::Other => &[
            "     ╷ ╷     ",
            "     │w│     ",
            "  ╭──╯w╰──╮  ",
            "╭─╯wwwwwww╰─╮",
            "│wwwwwwwwwww│",
            "│wwwwwwwwwww│",
            "│wwwwwwwwwww│",
            "│wwwwwwwwwww│",
            "╰wwwwwwwwwww╯",
        ],
        VesselKind::Demijohn => &[
            "     ╷ ╷     ",
            "     │w│     ",
            "    ╭╯w╰╮    ",
            "   ╭╯www╰╮   ",
            "  ╭╯wwwww╰╮  ",
            " ╭╯wwwwwww╰╮ ",
            " │wwwwwwwww│ ",
            " ╰╮wwwwwww╭╯ ",
            "  ╰wwwwwww╯  ",
        ],
        VesselKind::Jug => &[
            "     ╷ ╷     ",
            "     │w├──╮  ",
            "    ╭╯w╰╮ │  ",
            "   ╭╯www╰╮│  ",
            "  ╭╯wwwww╰┤  ",
            "  │wwwwwww│  ",
            "  │wwwwwww│  ",
            "  │wwwwwww│  ",
            "  ╰wwwwwww╯  ",
        ],
        VesselKind::Bucket => &[
            "┌───────────┐",
            "├wwwwwwwwwww┤",
            "│wwwwwwwwwww│",
            "│wwwwwwwwwww│",
            "╰╮wwwwwwwww╭╯",
            " │wwwwwwwww│ ",
            " │wwwwwwwww│ ",
            " │wwwwwwwww│ ",
            " ╰wwwwwwwww╯ ",
        ],
        VesselKind::Tank => &[
            "   ╭──┴──╮   ",
            " ╭─╯wwwww╰─╮ ",
            "╭╯wwwwwwwww╰╮",
            "│wwwwwwwwwww│",
            "│wwwwwwwwwww│",
            "│wwwwwwwwwww│",
            "│wwwwwwwwwww│",
            "├wwwwwwwwwww┤",
            "╵           ╵",
        ],
        VesselKind::Barrel => &[
            "  ╭───┬───╮  ",
            " ╭┤wwwwwww├╮ ",
            "╭┤wwwwwwwww├╮",
            "│┊wwwwwwwww┊│",
            "│┊wwwwwwwww┊│",
            "│┊wwwwwwwww┊│",
            "╰┤wwwwwwwww├╯",
            " ╰┤wwwwwww├╯ ",
            "  ╰───────╯  ",
        ],
        VesselKind::Keg => &[
            " ╭┬───┴───┬╮ ",
            " ├wwwwwwwww┤ ",
            " │wwwwwwwww│ ",
            " │wwwwwwwww│ ",
            " │wwwwwwwww│ ",
            " │wwwwwwwww│ ",
            " │wwwwwwwww│ ",
            " ├wwwwwwwww┤ ",
            " ╰wwwwwwwww╯ ",
        ],
    }
}
