pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// A line-up sheet being typed: six boxes as they stand on court, libero boxes, captain, signature. A fault is a 4 px
// frame and a flag that names its line at the right. No hue: nobody else is called.
Item {
    id: sheet

    required property CourtView view

    readonly property TableSizes sizes: Theme.table
    readonly property DeskPanel panel: sheet.view.desk.panel
    readonly property TeamLook team: sheet.panel.sheetTeam === "B" ? sheet.view.teamB : sheet.view.teamA
    readonly property list<int> columns: [2, 2, 1, 0, 0, 1]
    readonly property list<int> lines: [1, 0, 0, 0, 1, 1]

    TeamBand {
        x: sheet.sizes.margin
        y: Theme.s5
        width: Theme.bandWidth
        height: sheet.height - 2 * Theme.s5
        letter: sheet.team.letter
    }

    Words {
        id: letter

        x: 60
        bl: 46
        size: sheet.sizes.strong
        bold: true
        text: sheet.team.letter
    }

    Words {
        x: 94
        bl: 46
        size: sheet.sizes.strong
        text: sheet.team.name
    }

    Words {
        x: 676 - width
        bl: 46
        size: sheet.sizes.body
        text: "line-up, set " + sheet.view.setNumber
        color: Theme.dim
    }

    Rectangle {
        x: 60
        y: 66
        width: 616
        height: Theme.heavy
        color: Theme.ink
    }

    Words {
        x: 60
        bl: 94
        size: sheet.sizes.small
        text: "net"
        color: Theme.dim
    }

    Repeater {
        model: sheet.panel.boxes

        TableSheetBox {
            id: box

            required property int index

            readonly property bool placed: box.index < 6
            readonly property bool wide: box.key === "signature"

            objectName: "table.sheet." + box.key
            x: 60 + (box.placed ? sheet.columns[box.index] * 208 : (box.index - 6) * 148)
            y: box.placed ? 104 + sheet.lines[box.index] * 124 : 372
            width: box.placed ? 200 : box.wide ? 676 - box.x : 140
            height: box.placed ? 116 : 108
            sizes: sheet.sizes
        }
    }

    Words {
        x: 60
        bl: 524
        size: sheet.sizes.small
        text: "the line under a number: captain"
        color: Theme.dim
    }

    TableFaults {
        x: 748
        width: sheet.width - x - sheet.sizes.margin
        height: sheet.height
        view: sheet.view
    }
}
