pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// One post on the way of a notice: when its screen showed it, when it answered; or in words what it did.
Item {
    id: row

    required property string word
    required property string reached
    required property string told
    required property real shownAt
    required property real doneAt
    required property BoardWay way

    readonly property BoardSizes sizes: Theme.board
    readonly property bool done: row.doneAt >= 0
    readonly property bool seen: row.shownAt >= 0
    readonly property real seenX: row.way.place(row.shownAt)
    readonly property real doneX: row.way.place(row.doneAt)
    readonly property string words: row.reached === "raised" ? "raised it" : row.reached === "relayed" ? "by sign" : row.done ? row.told : row.reached === "unconfirmed" ? "not confirmed" : row.reached === "unfilled" ? "nobody" : row.seen ? "not answered" : "on its way"

    Accessible.role: Accessible.StaticText
    Accessible.name: row.word + ", " + row.words

    Words {
        mid: row.height / 2
        size: row.sizes.small
        bold: true
        text: row.word
    }

    Rectangle {
        visible: row.reached === "raised"
        x: Math.round(row.way.fromX - width / 2)
        y: Math.round((row.height - height) / 2)
        width: Theme.shirt
        height: Theme.shirt
        color: Theme.ink
    }

    Rectangle {
        visible: row.done && row.seen
        x: row.seenX
        y: Math.round((row.height - height) / 2)
        width: Math.max(0, row.doneX - row.seenX)
        height: Theme.frame
        color: Theme.ink
    }

    Rectangle {
        visible: row.seen
        x: Math.round(row.seenX - width / 2)
        y: Math.round((row.height - height) / 2)
        width: 18
        height: 18
        radius: 9
        color: Theme.ground
        border {
            width: Theme.ring
            color: Theme.ink
        }
    }

    Rectangle {
        visible: row.done
        x: Math.round(row.doneX - width / 2)
        y: Math.round((row.height - height) / 2)
        width: 40
        height: 40
        radius: 20
        color: Theme.ink

        Icon {
            anchors.centerIn: parent
            path: Marks.answered
            size: 26
            tone: Theme.ground
        }
    }

    Rectangle {
        x: said.x - Theme.s1
        y: Math.round(row.height / 2 - 20)
        width: said.width + Theme.s2
        height: 40
        color: Theme.ground
    }

    Words {
        id: said

        readonly property real after: (row.done ? row.doneX + 20 : row.seen ? row.seenX + 9 : row.way.fromX + 10) + Theme.s3
        readonly property bool fits: after + width <= row.width

        x: Math.round(fits ? after : row.doneX - 20 - Theme.s3 - width)
        mid: row.height / 2
        size: row.sizes.small
        text: row.words
        color: row.done ? Theme.ink : Theme.dim
    }
}
