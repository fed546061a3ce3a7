pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The ready chain: sentence, reason, seconds at the right, then the stops on one line. Done is a ring with a tick,
// holds an ink disc with the hold mark, waiting a plain ring. No hue.
Item {
    id: chain

    required property ReadyLook ready
    required property NetSizes sizes
    property bool narrow: false

    readonly property real rowY: chain.height * (chain.narrow ? 0.61 : 0.56)
    readonly property real firstX: chain.sizes.stopDisc / 2
    readonly property real lastX: chain.width - chain.sizes.stopRing / 2
    readonly property int count: stops.count

    Accessible.role: Accessible.Grouping
    Accessible.name: chain.ready.sentence + ". " + chain.ready.reason

    Words {
        mid: chain.sizes.title * 0.6
        size: chain.sizes.title
        bold: true
        text: chain.ready.sentence
    }

    Words {
        mid: chain.sizes.title * 0.6 + chain.sizes.strong * 1.7
        size: chain.sizes.strong
        text: chain.ready.reason
        color: Theme.dim
    }

    ClockText {
        x: chain.width - width
        mid: chain.narrow ? chain.sizes.title * 0.6 + chain.sizes.strong * 1.7 : chain.sizes.clock * 0.5
        size: chain.narrow ? chain.sizes.title : chain.sizes.clock
        text: chain.ready.secondsText
    }

    Rectangle {
        x: chain.firstX
        y: Math.round(chain.rowY)
        width: chain.lastX - chain.firstX
        height: Theme.outline
        color: Theme.line
    }

    Repeater {
        id: stops

        model: chain.ready.stops

        ReadyStopMark {
            required property int index

            x: Math.round(chain.firstX + (chain.lastX - chain.firstX) * (chain.count > 1 ? index / (chain.count - 1) : 0))
            y: Math.round(chain.rowY)
            sizes: chain.sizes
            place: index === 0 ? -1 : index === chain.count - 1 ? 1 : 0
        }
    }
}
