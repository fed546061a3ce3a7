pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The way of a notice through the crew on a line of 20 seconds: a ring where it was on an awake screen, a disc with a
// tick where it was answered. Later answers stand at the end with their seconds.
Item {
    id: way

    required property NoticeLook notice
    required property Tell tell

    readonly property BoardSizes sizes: Theme.board
    readonly property int fromX: 198
    readonly property real second: 20
    readonly property int firstRow: 112
    readonly property int pitch: 60
    readonly property string whom: way.notice.number >= 0 ? ", " + way.notice.team + " " + way.notice.number : ""

    readonly property bool worded: way.notice.words !== ""

    height: way.firstRow + posts.count * way.pitch + (way.worded ? 0 : 64)
    Accessible.role: Accessible.Grouping
    Accessible.name: way.notice.title + way.whom + ", who saw it and when"

    function place(at: real): real {
        return way.fromX + way.second * Math.min(at, 20);
    }

    Words {
        bl: 40
        size: way.sizes.small
        bold: true
        text: way.notice.title + way.whom
    }

    BoardWord {
        objectName: "board.way.erase"
        visible: way.notice.erasable
        x: age.x - width - Theme.s4
        y: -4
        text: "Erase the words"
        onActed: way.tell.eraseWords(way.notice.noticeId)
    }

    Words {
        id: age

        x: way.width - width
        bl: 40
        size: way.sizes.small
        text: way.notice.live ? way.notice.ageText : way.notice.endText
        color: Theme.dim
    }

    Words {
        bl: 94
        size: way.sizes.small
        text: "seconds"
        color: Theme.dim
    }

    Repeater {
        model: [0, 5, 10, 20]

        Item {
            id: mark

            required property int modelData

            Words {
                x: Math.round(way.place(mark.modelData) - width / 2)
                bl: 94
                size: way.sizes.small
                text: String(mark.modelData)
                color: Theme.dim
            }

            Rectangle {
                x: Math.round(way.place(mark.modelData) - width / 2)
                y: 108
                width: Theme.outline
                height: way.firstRow + posts.count * way.pitch - 108
                color: Theme.hair
            }
        }
    }

    Repeater {
        id: posts

        model: way.notice.receipts

        BoardWayRow {
            required property int index

            y: way.firstRow + index * way.pitch
            width: way.width
            height: way.pitch
            way: way
        }
    }

    Row {
        visible: !way.worded
        y: way.firstRow + posts.count * way.pitch + 12
        spacing: Theme.s3

        Rectangle {
            y: 12
            width: 18
            height: 18
            radius: 9
            color: Theme.clear
            border {
                width: Theme.ring
                color: Theme.ink
            }
        }

        Words {
            size: way.sizes.small
            text: "on an awake screen"
            color: Theme.dim
        }

        Item {
            width: Theme.s4
            height: 1
        }

        Icon {
            y: 4
            path: Marks.answered
            size: way.sizes.small
        }

        Words {
            size: way.sizes.small
            text: "answered"
            color: Theme.dim
        }
    }
}
