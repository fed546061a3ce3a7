pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// One team's bench: band at the outer rim, name, points, sets, who serves; below a line what is used up and who sits.
Item {
    id: bench

    required property CourtView view
    required property TeamLook team
    required property bool atLeft
    required property bool brief
    required property bool focused

    readonly property TableSizes sizes: Theme.table
    readonly property int start: bench.atLeft ? 36 : 0
    readonly property int wide: bench.width - 36
    readonly property bool waits: bench.view.desk.panel.kind === "wrong"
    readonly property string serving: bench.team.serves ? (bench.waits ? "due" : "serves") : "next server"

    function at(offset: real, thing: real): real {
        return bench.atLeft ? bench.start + offset : bench.start + bench.wide - offset - thing;
    }

    Accessible.role: Accessible.Grouping
    Accessible.focusable: true
    Accessible.name: "Team " + bench.team.letter + ", " + bench.team.name + ", " + bench.team.points + " points, sets " + bench.team.sets + ", time-outs " + bench.team.timeOutsText + ", substitutions " + bench.team.substitutionsText

    FocusRing {
        visible: bench.focused
        inner: Theme.s1
    }

    TeamBand {
        x: bench.atLeft ? 0 : bench.width - width
        width: Theme.bandWidth
        height: bench.height
        letter: bench.team.letter
    }

    Words {
        id: letter

        x: bench.at(0, width)
        bl: 22
        size: bench.sizes.strong
        bold: true
        text: bench.team.letter
    }

    // Beside the letter where the name leaves room for it, else under the letter.
    ShirtSquare {
        id: shirt

        readonly property bool beside: 34 + width + Theme.s2 + name.implicitWidth <= bench.wide

        x: bench.at(beside ? 30 : 0, width)
        y: beside ? 2 : 26
        colour: bench.team.colour
    }

    Words {
        id: name

        x: bench.at(shirt.visible && shirt.beside ? 34 + shirt.width + Theme.s2 : 34, width)
        bl: 22
        size: bench.sizes.strong
        text: bench.team.name
    }

    Words {
        objectName: "table.bench." + bench.team.letter + ".points"
        x: bench.at(0, width)
        bl: 160
        size: bench.sizes.figure
        bold: true
        text: String(bench.team.points)
    }

    Words {
        x: bench.at(bench.wide - width, width)
        bl: 66
        size: bench.sizes.small
        text: "sets"
        color: Theme.dim
    }

    Words {
        x: bench.at(bench.wide - width, width)
        bl: 110
        size: bench.sizes.sets
        bold: true
        text: String(bench.team.sets)
    }

    ServerDisc {
        visible: bench.team.serves && bench.team.server >= 0
        x: bench.at(0, width)
        y: 214 - height / 2
        across: 42
        size: bench.sizes.strong
        number: String(bench.team.server)
    }

    Words {
        visible: bench.team.serves && bench.team.server >= 0
        x: bench.at(58, width)
        mid: 214
        size: bench.sizes.strong
        bold: true
        text: bench.serving
    }

    Words {
        id: next

        visible: !bench.team.serves && bench.team.nextServer >= 0
        x: bench.at(0, width)
        mid: 214
        size: bench.sizes.strong
        bold: true
        text: String(bench.team.nextServer)
    }

    Words {
        visible: next.visible
        x: bench.at(next.width + Theme.s4, width)
        mid: 214
        size: bench.sizes.body
        text: bench.serving
        color: Theme.dim
    }

    TableCounts {
        visible: !bench.brief
        x: bench.start
        y: 252
        width: bench.wide
        team: bench.team
    }
}
