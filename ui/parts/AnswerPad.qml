pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// The pad that answers a plate and carries its weight: NOW full fill, SOON a third with the tick in it, NOTE plain.
Press {
    id: pad

    required property FaceSizes sizes
    required property string level
    property int labelSize: pad.sizes.strong
    property int markSize: pad.sizes.mark

    readonly property bool full: pad.level === "now"
    readonly property bool third: pad.level === "soon"
    readonly property bool stacked: !pad.third && pad.width < 320 && pad.height > 100 && !pad.full
    readonly property color tone: !pad.enabled ? Theme.off : pad.full ? Theme.nowInk : Theme.ink
    readonly property int thirdWide: Math.round(pad.width / 3)

    text: "Got it"
    arm: true

    background: Rectangle {
        radius: Theme.padRadius
        color: pad.full ? Theme.now : Theme.raised
        clip: true

        Rectangle {
            visible: pad.third
            width: pad.thirdWide
            height: parent.height
            topLeftRadius: Theme.padRadius
            bottomLeftRadius: Theme.padRadius
            color: Theme.soon

            Rectangle {
                anchors.right: parent.right
                width: Theme.outline
                height: parent.height
                color: Theme.ink
            }
        }

        Rectangle {
            anchors.fill: parent
            radius: Theme.padRadius
            color: Theme.clear
            border {
                width: pad.pressed ? Theme.heavy : pad.full || pad.third || Theme.bright ? Theme.outline : 0
                color: pad.full || pad.third || pad.pressed ? Theme.ink : Theme.line
            }
        }
    }

    contentItem: Item {
        id: face

        readonly property real wide: pad.markSize + Theme.s5 + label.implicitWidth
        readonly property real start: (width - wide) / 2

        Icon {
            id: tick

            x: pad.third ? (pad.thirdWide - width) / 2 : pad.stacked ? (face.width - width) / 2 : face.start
            y: pad.stacked ? face.height * 0.32 - height / 2 : (face.height - height) / 2
            path: Marks.answered
            size: pad.markSize
            tone: pad.third ? Theme.soonInk : pad.tone
        }

        Words {
            id: label

            x: Math.round(pad.third ? pad.thirdWide + (face.width - pad.thirdWide - implicitWidth) / 2 : pad.stacked ? (face.width - implicitWidth) / 2 : face.start + pad.markSize + Theme.s5)
            mid: pad.stacked ? face.height * 0.7 : face.height / 2
            size: pad.labelSize
            bold: true
            text: pad.text
            color: pad.tone
        }
    }
}
