pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// A notice that is over: what it was and how it ended. Pressed, its way through the crew is drawn.
Press {
    id: row

    required property string noticeId
    required property NoticeLook notice
    property bool chosen: false

    readonly property BoardSizes sizes: Theme.board

    text: row.notice.title
    Accessible.name: row.notice.title + ", " + row.notice.endText

    contentItem: Item {
        Rectangle {
            width: row.width
            height: Theme.outline
            color: Theme.hair
        }

        Rectangle {
            visible: row.chosen
            y: 12
            width: Theme.heavy
            height: row.height - 24
            color: Theme.ink
        }

        Words {
            x: row.chosen ? Theme.s4 : 0
            mid: row.height / 2
            size: row.sizes.small
            bold: true
            text: row.notice.title
        }

        Words {
            x: row.width - width
            mid: row.height / 2
            size: row.sizes.small
            text: row.notice.endText
            color: Theme.dim
        }
    }
}
