pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The calm wrist: the court as R1 sees it with both scores and the server due, and one pad, Tell.
Item {
    id: calm

    required property CourtView court

    readonly property WristSizes sizes: Theme.wrist
    readonly property real netX: calm.width / 2

    signal tellAsked

    Words {
        x: Theme.s6
        bl: 44
        size: calm.sizes.small
        text: "Set " + calm.court.setNumber
        color: Theme.dim
    }

    Words {
        x: calm.width - Theme.s6 - width
        bl: 44
        size: calm.sizes.small
        text: "sets " + calm.court.setsText
        color: Theme.dim
    }

    Rectangle {
        x: Math.round(calm.netX - width / 2)
        y: calm.sizes.rail
        width: Theme.heavy
        height: calm.sizes.courtHigh
        color: Theme.ink
    }

    WristSide {
        y: calm.sizes.rail
        width: calm.netX
        height: calm.sizes.courtHigh
        team: calm.court.leftTeam
        atLeft: true
    }

    WristSide {
        x: calm.netX
        y: calm.sizes.rail
        width: calm.width - calm.netX
        height: calm.sizes.courtHigh
        team: calm.court.rightTeam
        atLeft: false
    }

    Pad {
        objectName: "wrist.calm.tell"
        x: calm.sizes.margin
        y: calm.height - calm.sizes.margin - height
        width: calm.width - 2 * calm.sizes.margin
        height: calm.sizes.tellHigh
        sizes: calm.sizes
        text: "Tell"
        path: Marks.report
        labelSize: calm.sizes.strong
        centred: true
        onActed: calm.tellAsked()
    }
}
