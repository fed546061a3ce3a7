pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The bottom line: devices, when play may end, a flood of notices; or how safe the open court's score sheet is.
Item {
    id: health

    required property BoardView board
    required property CourtView court
    required property bool opened

    readonly property BoardSizes sizes: Theme.board
    readonly property bool refused: health.opened && health.court.refusal.present
    readonly property real middle: health.height / 2 + 1

    Rectangle {
        width: health.width
        height: Theme.outline
        color: Theme.hair
    }

    Words {
        id: first

        x: health.sizes.margin
        mid: health.middle
        size: health.sizes.small
        text: health.opened ? "Score sheet: " + health.court.savedText : health.board.healthText
    }

    Words {
        id: second

        x: first.x + first.width + 3 * Theme.s6
        mid: health.middle
        size: health.sizes.small
        bold: health.board.floodText !== "" && !health.opened
        text: health.opened ? health.court.writer.text : health.board.floodText !== "" ? health.board.floodText : health.board.forecastText
        color: health.board.floodText !== "" && !health.opened ? Theme.ink : Theme.dim
    }

    Words {
        x: health.width - health.sizes.margin - width
        mid: health.middle
        size: health.sizes.small
        bold: health.refused
        text: health.refused ? health.court.refusal.sentence : health.opened ? "Tab goes through the notices" : health.board.savedText !== "" ? health.board.savedText : health.board.enterText
        color: health.refused || (!health.opened && health.board.savedText !== "") ? Theme.ink : Theme.dim
    }
}
