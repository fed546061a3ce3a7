pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// A notice on a round face: fill, cap or edge as slices of the circle, and its lines in the middle of it.
Item {
    id: plate

    required property NoticeLook notice
    required property WristShape shape
    required property string place
    required property string foot
    property bool waits: false

    readonly property WristSizes sizes: Theme.wrist
    readonly property string weight: plate.notice.live ? plate.notice.level : ""
    readonly property bool full: plate.weight === "now"
    readonly property bool parted: plate.weight === "soon"
    readonly property bool edged: plate.weight === "note"
    readonly property bool pulsing: plate.full && plate.notice.pulsing && !Theme.reducedMotion
    readonly property bool numbered: plate.notice.number >= 0
    readonly property color headInk: plate.full ? Theme.nowInk : plate.parted ? Theme.soonInk : plate.notice.live ? Theme.ink : Theme.dim
    readonly property color bodyInk: plate.full ? Theme.nowInk : plate.notice.live ? Theme.ink : Theme.dim
    readonly property color bodyDim: plate.full ? Theme.nowInk : Theme.dim

    Accessible.role: Accessible.AlertMessage
    Accessible.name: plate.notice.spoken

    RoundSlice {
        anchors.fill: parent
        radius: plate.shape.radius
        fill: plate.full ? Theme.now : Theme.panel
        edge: plate.pulsing && !plate.notice.lit ? Theme.now : plate.notice.live ? Theme.ink : Theme.line
        edgeWidth: plate.full ? (plate.pulsing ? Theme.pulseFrame : Theme.heavy) : Theme.outline
    }

    RoundSlice {
        visible: plate.parted || plate.edged
        width: plate.width
        height: plate.edged ? 40 : plate.sizes.roundCap
        radius: plate.shape.radius
        fill: plate.edged ? Theme.note : Theme.soon
        edge: Theme.ink
        edgeWidth: plate.parted ? Theme.outline : 0
    }

    UrgencyMark {
        x: Math.round((plate.width - width) / 2)
        y: (plate.waits ? 52 : plate.parted ? 76 : plate.notice.live ? 68 : 74) - height / 2
        width: implicitWidth
        level: plate.notice.level
        ending: plate.notice.state
        markSize: plate.notice.live && !plate.waits ? plate.sizes.strong : plate.sizes.body
        size: plate.notice.live && !plate.waits ? plate.sizes.body : plate.sizes.small
        tone: plate.headInk
    }

    Words {
        id: title

        readonly property int footing: plate.parted ? 160 : 136
        readonly property real side: plate.shape.inset(title.footing - 34, title.footing)

        x: title.side
        bl: title.footing
        width: plate.width - 2 * title.side
        horizontalAlignment: Text.AlignHCenter
        wrapMode: Text.WordWrap
        size: plate.notice.title.length > 14 ? plate.sizes.body : plate.sizes.strong
        bold: true
        text: plate.notice.title + (plate.notice.countText !== "" ? " " + plate.notice.countText : "")
        color: plate.bodyInk
        font.strikeout: plate.notice.state === "withdrawn"
    }

    WristWords {
        id: whom

        visible: plate.numbered
        end: due.visible ? "left" : "middle"
        shape: plate.shape
        footing: title.footing + plate.sizes.figure * 0.73 + Theme.s4
        size: plate.sizes.figure
        bold: true
        text: plate.notice.team + " " + plate.notice.number
        color: plate.bodyInk
        x: due.visible ? 62 : Math.round((plate.width - width) / 2)
    }

    WristWords {
        id: due

        visible: plate.numbered && plate.notice.due >= 0
        end: "right"
        shape: plate.shape
        footing: whom.footing
        size: plate.sizes.body
        bold: true
        text: "due " + plate.notice.due
        color: plate.bodyInk
        x: plate.width - 62 - width
    }

    Words {
        readonly property real side: plate.shape.inset(title.footing, 255)

        visible: !plate.numbered
        x: side
        y: title.y + title.height
        width: plate.width - 2 * side
        horizontalAlignment: Text.AlignHCenter
        wrapMode: Text.WordWrap
        size: plate.sizes.body
        text: plate.notice.detail
        color: plate.bodyInk
    }

    WristWords {
        shape: plate.shape
        footing: 282
        size: plate.sizes.small
        text: plate.place !== "" ? plate.place + ", " + plate.notice.ageText : plate.foot
        color: plate.bodyDim
    }
}
