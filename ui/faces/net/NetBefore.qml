pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// Before the match: who is linked, and which hand holds the tablet.
Item {
    id: page

    required property CourtView court
    required property NetState desk

    readonly property NetSizes sizes: Theme.net

    Words {
        bl: 52
        size: page.sizes.title
        bold: true
        text: "Linked " + page.court.linksText
    }

    Row {
        y: 84
        spacing: Theme.s6

        Repeater {
            model: page.court.links

            PostLinkMark {
                size: page.sizes.body
            }
        }
    }

    Words {
        visible: text !== ""
        x: page.width - width
        bl: 52
        size: page.sizes.body
        text: page.court.expectedText
    }

    Words {
        bl: 188
        size: page.sizes.body
        text: "Which hand holds the tablet?"
        color: Theme.dim
    }

    Repeater {
        model: ["Left hand", "Right hand"]

        Pad {
            required property string modelData
            required property int index

            readonly property bool chosen: page.desk.rightHand === (index === 1)

            objectName: index === 0 ? "net.before.left" : "net.before.right"
            x: index * (page.width / 2 + Theme.s2)
            y: 212
            width: page.width / 2 - Theme.s2
            height: 80
            sizes: page.sizes
            kind: chosen ? Pad.Filled : Pad.Raised
            path: index === 0 ? Marks.leftward : Marks.rightward
            text: modelData
            onActed: page.desk.rightHand = index === 1
        }
    }
}
