pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// A pad of the wrist: full width, mark and label. It carries the weight of its plate (`level`): NOW full, SOON a third
// with the tick in it, else plain; `Pad.Filled` is what is suggested. On a round face it is a slice of the circle.
Press {
    id: pad

    required property WristShape shape
    property string path: ""
    property string level: ""
    property int kind: Pad.Raised
    property int labelSize: Theme.wrist.strong
    property int markSize: Theme.wrist.mark
    property bool leading: false
    property real middle: 0.5

    readonly property bool round: pad.shape.round
    readonly property bool full: pad.level === "now"
    readonly property bool third: pad.level === "soon"
    readonly property color fill: !pad.enabled ? Theme.clear : pad.full ? Theme.now : pad.kind === Pad.Filled ? Theme.ink : Theme.raised
    readonly property color tone: !pad.enabled ? Theme.off : pad.full ? Theme.nowInk : pad.kind === Pad.Filled ? Theme.ground : Theme.ink
    readonly property int edgeWidth: pad.pressed ? Theme.heavy : pad.full || pad.third || Theme.bright || !pad.enabled ? Theme.outline : 0
    readonly property color edge: !pad.enabled ? Theme.hair : pad.kind === Pad.Filled ? (pad.pressed ? Theme.line : Theme.ink) : pad.full || pad.third || pad.pressed ? Theme.ink : Theme.line
    readonly property int thirdWide: pad.round ? 150 : pad.width
    readonly property int thirdHigh: pad.round ? pad.height : Math.round(pad.height / 3)

    background: Item {
        Rectangle {
            visible: !pad.round
            anchors.fill: parent
            radius: Theme.padRadius
            color: pad.fill

            Rectangle {
                visible: pad.third
                width: pad.thirdWide
                height: pad.thirdHigh
                topLeftRadius: Theme.padRadius
                topRightRadius: Theme.padRadius
                color: Theme.soon

                Rectangle {
                    y: parent.height - height
                    width: parent.width
                    height: Theme.outline
                    color: Theme.ink
                }
            }

            Rectangle {
                anchors.fill: parent
                radius: Theme.padRadius
                color: Theme.clear
                border {
                    width: pad.edgeWidth
                    color: pad.edge
                }
            }
        }

        RoundSlice {
            visible: pad.round
            anchors.fill: parent
            fromX: pad.x
            fromY: pad.y
            radius: pad.shape.radius
            fill: pad.fill
            edge: pad.edge
            edgeWidth: pad.edgeWidth
        }

        RoundSlice {
            visible: pad.round && pad.third
            width: pad.thirdWide
            height: parent.height
            fromX: pad.x
            fromY: pad.y
            radius: pad.shape.radius
            fill: Theme.soon
            edge: Theme.ink
            edgeWidth: Theme.outline
        }
    }

    contentItem: Item {
        id: face

        readonly property bool marked: pad.path !== ""
        readonly property bool apart: pad.third && !pad.round
        readonly property real wide: (face.marked && !face.apart ? pad.markSize + Theme.s5 : 0) + label.implicitWidth
        readonly property real start: pad.leading && !pad.round ? Theme.s5 : (width - face.wide) / 2
        readonly property real mid: pad.round ? height * pad.middle : height / 2

        Icon {
            visible: face.marked
            x: Math.round(face.apart ? (face.width - width) / 2 : pad.third ? pad.thirdWide - width - Theme.s4 : face.start)
            y: Math.round((face.apart ? pad.thirdHigh / 2 : face.mid) - height / 2)
            path: pad.path
            size: pad.third ? Math.min(pad.markSize, Theme.wrist.strong) : pad.markSize
            tone: pad.third ? Theme.soonInk : pad.tone
        }

        Words {
            id: label

            x: Math.round(face.apart ? (face.width - width) / 2 : pad.third ? pad.thirdWide + Theme.s5 : face.start + (face.marked ? pad.markSize + Theme.s5 : 0))
            mid: face.apart ? pad.thirdHigh + (face.height - pad.thirdHigh) / 2 : face.mid
            size: pad.labelSize
            bold: true
            text: pad.text
            color: pad.tone
        }
    }
}
