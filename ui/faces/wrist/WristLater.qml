pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// "Not now", in the third of a SOON plate: the target is its right half (all of a round one), a little
// higher than the third, far from the pad that answers.
Press {
    id: later

    required property WristShape shape

    readonly property bool round: later.shape.round

    height: Theme.wrist.target
    arm: true
    text: "Not now"
    Accessible.description: "comes back at the next dead ball, all see it"

    contentItem: Item {
        Rectangle {
            x: later.round ? Math.round((parent.width - width) / 2) : parent.width - width - Theme.s4
            y: later.round ? 71 : Math.round((Theme.wrist.thirdHigh - height) / 2)
            width: label.implicitWidth + 2 * Theme.s4
            height: later.round ? 38 : 74
            radius: Theme.padRadius
            color: Theme.clear
            border {
                width: later.pressed ? Theme.heavy : Theme.outline
                color: Theme.soonInk
            }

            Words {
                id: label

                x: Theme.s4
                mid: parent.height / 2
                size: Theme.wrist.small
                bold: true
                text: later.text
                color: Theme.soonInk
            }
        }
    }
}
