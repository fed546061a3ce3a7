pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// What is open in the hall, most urgent first, and under it the matches that come next.
Item {
    id: list

    required property BoardView board

    readonly property BoardSizes sizes: Theme.board
    readonly property int firstRow: 70
    readonly property int pitch: 184
    readonly property int room: next.count === 0 ? 4 : 3
    readonly property int more: Math.max(0, rows.count - list.room)
    readonly property int nextY: list.firstRow + Math.max(1, Math.min(rows.count, list.room)) * list.pitch + (list.more > 0 ? 56 : 20)

    function go(place: int, key: int) {
        const to = place + (key === Qt.Key_Up ? -1 : 1);
        const row = rows.itemAt(to);
        if (row && to < list.room)
            row.forceActiveFocus(Qt.TabFocusReason);
    }

    Words {
        bl: 40
        size: list.sizes.title
        bold: true
        text: "Open notices"
    }

    Words {
        x: list.width - width
        bl: 40
        size: list.sizes.title
        bold: true
        text: String(rows.count)
    }

    Words {
        visible: rows.count === 0
        bl: list.firstRow + 44
        size: list.sizes.small
        text: "Nothing is open."
        color: Theme.dim
    }

    Repeater {
        id: rows

        model: list.board.notices

        BoardOpenRow {
            id: row

            required property int index

            objectName: "board.open." + row.index
            visible: row.index < list.room
            y: list.firstRow + row.index * list.pitch
            width: list.width
            height: 168
            board: list.board
            onActed: list.board.open(row.court)
            Keys.onReturnPressed: list.board.open(row.court)
            Keys.onEnterPressed: list.board.open(row.court)
            Keys.onUpPressed: list.go(row.index, Qt.Key_Up)
            Keys.onDownPressed: list.go(row.index, Qt.Key_Down)
        }
    }

    Words {
        visible: list.more > 0
        bl: list.firstRow + list.room * list.pitch + 28
        size: list.sizes.small
        bold: true
        text: "+ " + list.more + " more, on the tiles"
    }

    BoardNext {
        id: next

        visible: next.count > 0
        y: list.nextY
        width: list.width
        height: list.height - y
        board: list.board
    }
}
