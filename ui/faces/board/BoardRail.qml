pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The top line: the hall and its courts, or the open court with its phase; the clock; the other theme.
Item {
    id: rail

    required property BoardView board
    required property CourtView court
    required property bool opened

    readonly property BoardSizes sizes: Theme.board
    readonly property real middle: rail.height / 2

    signal messageAsked

    height: rail.sizes.rail

    Words {
        id: name

        x: rail.sizes.margin
        mid: rail.middle
        size: rail.sizes.body
        bold: true
        text: rail.opened ? "Court " + rail.board.opened : rail.board.hall
    }

    Words {
        id: second

        x: name.x + name.width + Theme.s6
        mid: rail.middle
        size: rail.sizes.small
        text: rail.opened && rail.court.result !== "" ? rail.court.phaseWord : rail.opened ? "Set " + rail.court.setNumber + ", " + rail.court.phaseWord + " " + rail.court.phaseAgeText : rail.board.courtsText
        color: rail.opened ? Theme.ink : Theme.dim
    }

    Words {
        x: second.x + second.width + 2 * Theme.s6
        mid: rail.middle
        size: rail.sizes.small
        visible: rail.opened
        text: rail.board.openedLinked ? rail.court.eventName : "out of reach, " + rail.board.asOfText
        color: Theme.dim
    }

    BoardWord {
        id: page

        objectName: "board.rail.page"
        visible: !rail.opened && rail.board.pages > 1
        x: second.x + second.width + Theme.s6
        y: Math.round((rail.height - height) / 2)
        text: "page " + (rail.board.page + 1) + " of " + rail.board.pages
        hint: "PgDn"
        onActed: rail.board.turn(rail.board.page + 1 < rail.board.pages ? 1 : -rail.board.pages)
    }

    Words {
        visible: !rail.opened
        x: (page.visible ? page.x + page.width : second.x + second.width) + 2 * Theme.s6
        mid: rail.middle
        size: rail.sizes.small
        text: rail.board.lateText
        color: Theme.dim
    }

    BoardWord {
        id: back

        objectName: "board.rail.back"
        visible: rail.opened
        x: clock.x - width - Theme.s5
        y: Math.round((rail.height - height) / 2)
        text: "All courts"
        hint: "Esc"
        onActed: rail.board.close()
    }

    BoardWord {
        id: save

        objectName: "board.rail.incidents"
        visible: !rail.opened && rail.board.savesIncidents && rail.board.courts > 0
        x: clock.x - width - Theme.s5
        y: Math.round((rail.height - height) / 2)
        text: "Incidents"
        hint: "I"
        Accessible.name: "Incidents, save the list"
        onActed: rail.board.saveIncidents()
    }

    BoardWord {
        objectName: "board.rail.message"
        visible: rail.board.courts > 0
        x: (rail.opened ? back.x : save.visible ? save.x : clock.x - Theme.s5) - width - Theme.s3
        y: Math.round((rail.height - height) / 2)
        text: "Message"
        hint: "M"
        onActed: rail.messageAsked()
    }

    ClockText {
        id: clock

        x: theme.x - width - Theme.s5
        mid: rail.middle
        size: rail.sizes.body
        bold: true
        text: rail.board.clockText
    }

    ThemeWord {
        id: theme

        objectName: "board.rail.theme"
        anchors.right: parent.right
        anchors.rightMargin: rail.sizes.margin - Theme.s2
        y: Math.round((rail.height - height) / 2)
        height: 68
        size: rail.sizes.small
    }

    Rectangle {
        y: rail.height - height
        width: rail.width
        height: Theme.outline
        color: Theme.hair
    }
}
