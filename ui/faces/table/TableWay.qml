pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// One way to read what happened: its place, the words, what speaks against it, the score and the server it leads to.
Rectangle {
    id: way

    required property string text
    required property string against
    required property string score
    required property string server
    required property bool ruledOut
    required property bool chosen
    required property string proposal
    required property int place
    required property string signalled

    readonly property bool filled: way.signalled !== "" ? way.signalled === way.proposal : way.chosen
    readonly property TableSizes sizes: Theme.table
    readonly property color tone: way.filled ? Theme.ground : way.ruledOut ? Theme.dim : Theme.ink
    readonly property color second: way.filled ? Theme.ground : Theme.dim
    readonly property real middle: way.height / 2

    color: way.filled ? Theme.ink : Theme.clear
    radius: way.filled ? Theme.s2 : 0
    Accessible.role: Accessible.ListItem
    Accessible.name: way.place + ". " + way.text + ". " + (way.ruledOut ? "Ruled out: " + way.against + ". " : "") + "Leads to " + way.score + ", " + way.server + " serves" + (way.filled ? ". Suggested." : ".")

    Words {
        x: Theme.s3
        mid: way.middle
        size: way.sizes.strong
        bold: true
        text: String(way.place)
        color: way.tone
    }

    Words {
        x: 48
        width: (way.against !== "" ? 350 : 590) - Theme.s3
        mid: way.middle
        size: wide.implicitWidth > width ? way.sizes.small : way.sizes.body
        bold: way.filled
        text: narrow.implicitWidth > width ? way.text.split(". ")[0] : way.text
        elide: Text.ElideRight
        color: way.tone
    }

    // What has no room in one line is cut to its first sentence; a reader is told all of it.
    Words {
        id: narrow

        visible: false
        size: way.sizes.small
        bold: way.filled
        text: way.text
    }

    Words {
        id: wide

        visible: false
        size: way.sizes.body
        bold: way.filled
        text: way.text
    }

    Icon {
        visible: way.against !== ""
        x: 402
        y: Math.round(way.middle - height / 2)
        path: way.ruledOut ? Marks.cross : Marks.answered
        size: 22
        tone: way.tone
    }

    Words {
        visible: way.against !== ""
        x: 432
        mid: way.middle
        size: way.sizes.small
        text: way.against
        color: way.second
    }

    Words {
        id: result

        x: way.width - 128 - width
        mid: way.middle
        size: way.sizes.strong
        bold: way.filled
        text: way.score
        color: way.tone
    }

    Words {
        x: way.width - 114
        mid: way.middle
        size: way.sizes.small
        text: way.server + " serves"
        color: way.second
    }

    Rectangle {
        visible: !way.filled
        y: way.height - height
        width: way.width
        height: Theme.hairline
        color: Theme.hair
    }
}
