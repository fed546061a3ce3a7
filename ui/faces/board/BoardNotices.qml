pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The right column of an open court: what is open, the way of one notice through the crew, what is over.
Item {
    id: column

    required property BoardView board
    required property CourtView court

    readonly property BoardSizes sizes: Theme.board
    readonly property int shownOpen: Math.min(2, open.count)
    readonly property int pitch: 168
    readonly property int wayY: 92 + Math.max(column.shownOpen > 0 ? 0 : 40, column.shownOpen * column.pitch)
    readonly property int wordsY: column.wayY + way.height + 12
    readonly property int pastY: (words.visible ? column.wordsY + words.height : way.visible ? column.wayY + way.height : column.wayY) + 20

    Words {
        bl: 64
        size: column.sizes.title
        bold: true
        text: "Notices"
    }

    Words {
        x: column.width - width
        bl: 64
        size: column.sizes.small
        text: open.count + " not closed" + (open.count > column.shownOpen ? ", " + column.shownOpen + " shown" : "")
        color: Theme.dim
    }

    Words {
        visible: open.count === 0
        bl: 116
        size: column.sizes.small
        text: "Nothing is open."
        color: Theme.dim
    }

    Repeater {
        id: open

        model: column.court.notices

        BoardNotice {
            id: plate

            required property int index

            objectName: "board.notice." + plate.index
            visible: plate.index < column.shownOpen
            y: 88 + plate.index * column.pitch
            width: column.width
            height: 152
            pending: plate.notice.state === "answered" ? column.board.pendingText(plate.noticeId) : ""
            onActed: column.board.choose(plate.noticeId)
            onAnswered: column.court.tell.answer(plate.noticeId)
            onClosed: column.court.tell.close(plate.noticeId, plate.notice.outcomes[0])
            Keys.onReturnPressed: plate.notice.asked ? plate.answered() : plate.acted()
            Keys.onEnterPressed: plate.notice.asked ? plate.answered() : plate.acted()
        }
    }

    BoardWay {
        id: way

        visible: column.board.told.present
        y: column.wayY
        width: column.width
        notice: column.board.told
        tell: column.court.tell
    }

    Words {
        id: words

        objectName: "board.way.words"
        visible: column.board.told.words !== ""
        y: column.wordsY
        width: column.width
        wrapMode: Text.Wrap
        maximumLineCount: 2
        elide: Text.ElideRight
        size: column.sizes.small
        text: column.board.told.words
    }

    Column {
        y: column.pastY
        width: column.width

        Repeater {
            model: column.board.past

            BoardPastRow {
                id: row

                objectName: "board.past." + row.noticeId
                width: column.width
                height: 68
                visible: column.pastY + y + height <= column.height - 8
                chosen: column.board.told.noticeId === row.noticeId
                onActed: column.board.choose(row.noticeId)
                Keys.onReturnPressed: column.board.choose(row.noticeId)
                Keys.onEnterPressed: column.board.choose(row.noticeId)
            }
        }
    }
}
