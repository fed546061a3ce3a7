pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// One team between sets or before its line-up check: side, sets won, and whether its line-up sheet is in.
Item {
    id: half

    required property TeamLook team
    required property SheetLook sheet

    readonly property NetSizes sizes: Theme.net
    readonly property bool given: half.sheet.state === "complete" || half.sheet.state === "accepted"

    height: 130

    TeamBand {
        width: Theme.bandWidth
        height: 112
        letter: half.team.letter
    }

    Words {
        x: Theme.s6
        mid: 24
        size: half.sizes.strong
        bold: true
        text: half.team.letter + "  " + half.team.name
    }

    Icon {
        visible: half.given
        x: Theme.s6
        y: 62
        path: Marks.answered
        size: 36
    }

    Words {
        x: Theme.s6 + (half.given ? 48 : 0)
        mid: 80
        size: half.sizes.body
        bold: !half.given
        text: half.given ? "Line-up sheet in" : "Line-up sheet due"
        color: half.given ? Theme.dim : Theme.ink
    }
}
