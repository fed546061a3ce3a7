pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// The pad that answers a plate and carries its weight: NOW full fill, SOON a third with the tick in it (left where it
// comes out wider than high, else on top), NOTE plain. It ignores touches for 400 ms after `armKey` (the notice) changes.
Press {
    id: pad

    required property FaceSizes sizes
    required property string level
    property int labelSize: pad.sizes.strong
    property int markSize: pad.sizes.mark

    readonly property bool full: pad.level === "now"
    readonly property bool third: pad.level === "soon"
    readonly property bool sideways: pad.width / 3 > pad.height
    readonly property bool stacked: pad.third ? !pad.sideways : !pad.full && pad.width < 320 && pad.height > 100
    readonly property color tone: !pad.enabled ? Theme.off : pad.full ? Theme.nowInk : Theme.ink
    readonly property int thirdWide: pad.sideways ? Math.round(pad.width / 3) : pad.width
    readonly property int thirdHigh: pad.sideways ? pad.height : Math.max(Math.round(pad.height / 3), pad.tickSize + Theme.s3)
    readonly property int tickSize: pad.third && !pad.sideways ? Math.min(pad.markSize, pad.sizes.strong) : pad.markSize

    text: "Got it"
    arm: true

    background: Rectangle {
        radius: Theme.padRadius
        color: pad.full ? Theme.now : Theme.raised

        Rectangle {
            visible: pad.third
            width: pad.thirdWide
            height: pad.thirdHigh
            topLeftRadius: Theme.padRadius
            topRightRadius: pad.sideways ? 0 : Theme.padRadius
            bottomLeftRadius: pad.sideways ? Theme.padRadius : 0
            color: Theme.soon

            Rectangle {
                x: pad.sideways ? parent.width - width : 0
                y: pad.sideways ? 0 : parent.height - height
                width: pad.sideways ? Theme.outline : parent.width
                height: pad.sideways ? parent.height : Theme.outline
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
        readonly property real restX: pad.third && pad.sideways ? pad.thirdWide : 0
        readonly property real restY: pad.third && !pad.sideways ? pad.thirdHigh : 0

        Icon {
            x: pad.third ? (pad.thirdWide - width) / 2 : pad.stacked ? (face.width - width) / 2 : face.start
            y: pad.third ? (pad.thirdHigh - height) / 2 : pad.stacked ? face.height * 0.32 - height / 2 : (face.height - height) / 2
            path: Marks.answered
            size: pad.tickSize
            tone: pad.third ? Theme.soonInk : pad.tone
        }

        Words {
            id: label

            x: Math.round(pad.third || pad.stacked ? face.restX + (face.width - face.restX - implicitWidth) / 2 : face.start + pad.markSize + Theme.s5)
            mid: pad.third ? face.restY + (face.height - face.restY) / 2 : pad.stacked ? face.height * 0.7 : face.height / 2
            size: pad.labelSize
            bold: true
            text: pad.text
            color: pad.tone
        }
    }
}
