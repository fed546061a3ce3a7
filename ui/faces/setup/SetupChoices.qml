pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// How this person likes the program: each pad shows what holds now and changes it.
Grid {
    id: choices

    required property SetupView setup
    required property bool wide

    readonly property SetupSizes sizes: Theme.setup
    readonly property real each: (choices.width - (choices.columns - 1) * choices.sizes.gap) / choices.columns

    columns: choices.wide ? 4 : 2
    spacing: choices.sizes.gap

    Pad {
        objectName: "setup.home.hand"
        width: choices.each
        height: 84
        sizes: choices.sizes
        inset: Theme.s4
        path: Marks.swap
        markSize: 32
        text: choices.setup.leftHand ? "Left hand" : "Right hand"
        detail: "holds the tablet"
        onActed: choices.setup.turnHand()
    }

    Pad {
        objectName: "setup.home.theme"
        width: choices.each
        height: 84
        sizes: choices.sizes
        inset: Theme.s4
        path: Marks.swap
        markSize: 32
        text: Theme.bright ? "Bright gym" : "Dark gym"
        detail: "screen colours"
        onActed: Theme.bright = !Theme.bright
    }

    Pad {
        objectName: "setup.home.comes"
        width: choices.each
        height: 84
        sizes: choices.sizes
        inset: Theme.s4
        path: Marks.swap
        markSize: 32
        text: choices.setup.comes ? "Joins by itself" : "Asks first"
        detail: "when invited"
        onActed: choices.setup.turnComes()
    }

    Pad {
        objectName: "setup.home.motion"
        width: choices.each
        height: 84
        sizes: choices.sizes
        inset: Theme.s4
        path: Marks.swap
        markSize: 32
        text: choices.setup.calm ? "Blinking off" : "Blinking on"
        detail: "urgent notices"
        onActed: choices.setup.turnMotion()
    }
}
