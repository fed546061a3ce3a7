pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// One team's request: choose who comes in and who goes out, then both large, legal or not and why, and how many.
Rectangle {
    id: card

    required property TeamLook modelData
    required property NetState desk
    required property bool atLeft
    property bool narrow: false

    readonly property NetSizes sizes: Theme.net
    readonly property string letter: card.modelData.letter
    readonly property ExchangeLook pair: card.desk.exchange(card.letter)
    readonly property bool leads: card.desk.leading === card.letter
    readonly property bool waits: card.pair.whole && !card.leads
    readonly property bool alone: !card.desk.exchange(card.desk.other(card.letter)).whole
    readonly property int textX: card.atLeft ? Theme.s5 + Theme.bandWidth : Theme.s5
    readonly property int textWide: card.width - 2 * Theme.s5 - Theme.bandWidth

    color: card.leads ? Theme.panel : Theme.ground
    border {
        width: card.leads ? Theme.frame : Theme.hairline
        color: card.leads ? Theme.ink : Theme.hair
    }

    TeamBand {
        x: card.atLeft ? 0 : card.width - width
        height: card.height
        letter: card.letter
    }

    Words {
        x: card.textX
        mid: 43
        size: card.sizes.strong
        bold: true
        text: "Team " + card.letter
    }

    Words {
        x: card.textX + card.textWide - width
        mid: 43
        size: card.sizes.strong
        bold: card.leads
        text: card.waits ? "waits" : card.leads ? (card.alone ? "asks" : "first") : ""
        color: card.leads ? Theme.ink : Theme.dim
    }

    NetChooser {
        visible: !card.pair.whole
        x: card.textX
        y: 70
        width: card.textWide
        height: card.height - 84
        team: card.modelData
        pair: card.pair
        narrow: card.narrow
        onPicked: {
            if (card.pair.whole && card.desk.first === "")
                card.desk.first = card.letter;
        }
    }

    Item {
        visible: card.pair.whole
        x: card.textX
        width: card.textWide
        height: card.height

        NetPair {
            width: parent.width
            pair: card.pair
            waits: card.waits
            narrow: card.narrow
        }

        NetVerdict {
            y: 258
            width: parent.width
            pair: card.pair
            quiet: card.waits
        }

        Words {
            visible: card.leads && !card.alone
            y: card.height - 150
            size: card.sizes.body
            bold: true
            text: "Ask Team " + card.desk.other(card.letter) + " to wait."
        }

        Pad {
            objectName: "net.subs." + card.letter + ".first"
            visible: card.waits
            y: card.height - 24 - 64 - 14 - height
            width: parent.width
            height: 76
            sizes: card.sizes
            kind: Pad.Outlined
            text: "Let " + card.letter + " go first"
            detail: "then ask " + card.desk.other(card.letter) + " to wait"
            onActed: card.desk.first = card.letter
        }

        Pad {
            objectName: "net.subs." + card.letter + ".clear"
            y: card.height - 24 - height
            width: parent.width
            height: 64
            sizes: card.sizes
            kind: Pad.Outlined
            path: Marks.undo
            text: "Other numbers"
            onActed: card.pair.clear()
        }
    }
}
