pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The body of every notice plate: fill, third or edge, outline, the pulse of NOW. Layouts lie on top and read
// `headInk`, `bodyInk`, `inset` and the third's place. Weight falls away when the notice is answered or over.
Item {
    id: plate

    required property NoticeLook notice
    property int thirdHigh: Math.round(plate.height / 3)

    readonly property string weight: plate.notice.live ? plate.notice.level : ""
    readonly property bool full: plate.weight === "now"
    readonly property bool parted: plate.weight === "soon"
    readonly property bool edged: plate.weight === "note"
    readonly property bool sideways: plate.width / 3 > plate.height
    readonly property bool pulsing: plate.full && plate.notice.pulsing && !Theme.reducedMotion
    readonly property int frameWidth: plate.full ? (plate.pulsing && plate.height > 60 ? Theme.pulseFrame : Theme.heavy) : Theme.outline
    readonly property color frameColor: plate.pulsing && !plate.notice.lit ? Theme.now : plate.notice.live ? Theme.ink : Theme.line

    readonly property color headInk: plate.full ? Theme.nowInk : plate.parted ? Theme.soonInk : plate.notice.live ? Theme.ink : Theme.dim
    readonly property color bodyInk: plate.full ? Theme.nowInk : plate.notice.live ? Theme.ink : Theme.dim
    readonly property color bodyDim: plate.full ? Theme.nowInk : Theme.dim
    readonly property int inset: plate.full && plate.height > 120 ? 32 : 20
    readonly property int thirdWide: plate.sideways ? Math.round(plate.width / 3) : plate.width
    readonly property int bodyX: plate.parted && plate.sideways ? plate.thirdWide : 0
    readonly property int bodyY: plate.parted && !plate.sideways ? plate.thirdHigh : 0

    Accessible.role: Accessible.AlertMessage
    Accessible.name: plate.notice.spoken

    Rectangle {
        anchors.fill: parent
        radius: plate.edged ? Theme.noteRadius : Theme.plateRadius
        color: plate.full ? Theme.now : plate.edged ? Theme.note : Theme.panel
    }

    Rectangle {
        visible: plate.edged
        x: Theme.noteEdge
        width: plate.width - Theme.noteEdge
        height: plate.height
        topRightRadius: Theme.noteRadius
        bottomRightRadius: Theme.noteRadius
        color: Theme.panel
    }

    Rectangle {
        visible: plate.parted
        width: plate.thirdWide
        height: plate.sideways ? plate.height : plate.thirdHigh
        color: Theme.soon
        topLeftRadius: Theme.plateRadius

        Rectangle {
            x: plate.sideways ? parent.width - width : 0
            y: plate.sideways ? 0 : parent.height - height
            width: plate.sideways ? Theme.outline : parent.width
            height: plate.sideways ? parent.height : Theme.outline
            color: Theme.ink
        }
    }

    Rectangle {
        objectName: "plateFrame"
        anchors.fill: parent
        radius: plate.edged ? Theme.noteRadius : Theme.plateRadius
        color: Theme.clear
        border {
            width: plate.frameWidth
            color: plate.frameColor
        }
    }
}
