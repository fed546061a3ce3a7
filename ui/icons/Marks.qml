pragma Singleton
pragma ComponentBehavior: Bound

import QtQuick

// The marks as data: 24-unit grid, 2-unit stroke, round ends, no fill. Always beside a word.
QtObject {
    id: marks

    readonly property string now: "M12 1.5 L22.5 12 L12 22.5 L1.5 12 Z M12 6.5 V13.5 M12 17 V17.1"
    readonly property string soon: "M12 3 L22.5 21 H1.5 Z M12 9 V15 M12 18 V18.1"
    readonly property string note: "M12 2.5 A9.5 9.5 0 1 1 11.99 2.5 Z M12 11 V17 M12 7 V7.1"
    readonly property string answered: "M4 12.5 L9.5 18 L20 6.5"
    readonly property string shown: "M2 12 C5 6.5 9 5 12 5 C15 5 19 6.5 22 12 C19 17.5 15 19 12 19 C9 19 5 17.5 2 12 Z M12 9 A3 3 0 1 1 11.99 9 Z"
    readonly property string unreached: "M12 2.5 A9.5 9.5 0 1 1 11.99 2.5 Z M8.5 8.5 L15.5 15.5 M15.5 8.5 L8.5 15.5"
    readonly property string serve: "M14 5 A7 7 0 1 1 13.99 5 Z M2 8 H5 M1 12 H4 M2 16 H5"
    readonly property string timeout: "M4 6 H20 M12 6 V20"
    readonly property string sub: "M7 20 V5 M3 9 L7 4.5 L11 9 M17 4 V19 M13 15 L17 19.5 L21 15"
    readonly property string lineup: "M4 5 H9 V10 H4 Z M15 5 H20 V10 H15 Z M4 14 H9 V19 H4 Z M15 14 H20 V19 H15 Z M12 3 V21"
    readonly property string report: "M3 4 H21 V16 H12 L7 21 V16 H3 Z M8 10 H8.1 M12 10 H12.1 M16 10 H16.1"
    readonly property string flag: "M5 22 V3 L20 7.5 L5 12"
    readonly property string swap: "M3 8 H20 M16 4 L20 8 L16 12 M21 16 H4 M8 12 L4 16 L8 20"
    readonly property string undo: "M9 4 L4 9 L9 14 M4 9 H14 A5.5 5.5 0 0 1 14 20 H9"
    readonly property string linked: "M9.5 14.5 L14.5 9.5 M11 6.5 L13.5 4 A4.2 4.2 0 0 1 20 10 L17.5 12.5 M13 17.5 L10.5 20 A4.2 4.2 0 0 1 4 14 L6.5 11.5"
    readonly property string unlinked: "M11 6.5 L13.5 4 A4.2 4.2 0 0 1 20 10 L17.5 12.5 M13 17.5 L10.5 20 A4.2 4.2 0 0 1 4 14 L6.5 11.5 M3 3 L21 21"
    readonly property string lock: "M5 11 H19 V21 H5 Z M8 11 V7.5 A4 4 0 0 1 16 7.5 V11"
    readonly property string hold: "M8 4 V20 M16 4 V20"
    readonly property string netcall: "M12 3 V21 M4 7 H20 M4 12 H20 M4 17 H20"
    readonly property string wait: "M12 2.5 A9.5 9.5 0 1 1 11.99 2.5 Z"
    readonly property string cross: "M6 6 L18 18 M18 6 L6 18"
    readonly property string leftward: "M20 12 H5 M11 5.5 L4.5 12 L11 18.5"
    readonly property string rightward: "M4 12 H19 M13 5.5 L19.5 12 L13 18.5"
    readonly property string upward: "M12 20 V5 M5.5 11 L12 4.5 L18.5 11"
    readonly property string downward: "M12 4 V19 M5.5 13 L12 19.5 L18.5 13"
    readonly property string theme: "M12 2.5 A9.5 9.5 0 1 1 11.99 2.5 Z M12 2.5 V21.5 M15.5 4 V20 M19 7.5 V16.5"

    function ofLevel(level: string): string {
        return level === "now" ? marks.now : level === "soon" ? marks.soon : marks.note;
    }

    // The mark of one receipt: how far a notice has come at one post.
    function ofReceipt(state: string): string {
        switch (state) {
        case "raised":
        case "answered":
        case "relayed":
            return marks.answered;
        case "shown":
            return marks.shown;
        case "unconfirmed":
            return marks.unreached;
        default:
            return marks.wait;
        }
    }
}
