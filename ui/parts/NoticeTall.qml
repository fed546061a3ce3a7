pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// A plate read at arm's length (wrist, phone): word and age on top, what, then whom in large figures ("B 9, due 3")
// or, where nobody is meant, the sentence; at the foot who raised it. A SOON has its third on top; `stacked`: the right
// half of that is free.
PlateFrame {
    id: plate

    required property FaceSizes sizes
    property int titleSize: plate.sizes.strong
    property int whomSize: plate.sizes.figure
    property int dueSize: plate.sizes.strong
    property string foot: plate.notice.lateText !== "" ? plate.notice.lateText : plate.notice.fromText
    property string place: ""
    property bool stacked: false

    readonly property bool numbered: plate.notice.number >= 0
    readonly property int textX: plate.inset + (plate.edged ? Theme.noteEdge : 0)
    readonly property int headHigh: plate.parted ? plate.thirdHigh : plate.inset + plate.sizes.strong + Theme.s3
    readonly property real room: plate.height - plate.headHigh
    readonly property real footMid: plate.height - plate.inset / 2 - plate.sizes.small * 0.7

    UrgencyMark {
        x: plate.textX
        y: Math.round((plate.parted ? plate.headHigh * (plate.stacked ? 0.3 : 0.5) : plate.inset + height / 2) - height / 2)
        level: plate.notice.level
        ending: plate.notice.state
        markSize: plate.sizes.strong
        size: plate.sizes.body
        tone: plate.headInk
    }

    ClockText {
        x: plate.stacked ? plate.textX : plate.width - plate.inset - width
        visible: plate.notice.state !== "withdrawn"
        mid: plate.parted ? plate.headHigh * (plate.stacked ? 0.74 : 0.5) : plate.inset + plate.sizes.strong / 2
        size: plate.sizes.small
        text: plate.place !== "" ? plate.place : plate.notice.ageText
        color: plate.headInk
    }

    Words {
        id: title

        x: plate.textX
        mid: plate.headHigh + plate.titleSize * (plate.parted ? 0.85 : 0.45)
        size: plate.titleSize
        bold: true
        width: plate.width - plate.textX - plate.inset
        wrapMode: Text.WordWrap
        text: plate.notice.title + (plate.notice.countText !== "" ? " " + plate.notice.countText : "")
        color: plate.bodyInk
        font.strikeout: plate.notice.state === "withdrawn"
    }

    Words {
        id: whom

        x: plate.textX
        visible: plate.numbered
        mid: plate.headHigh + plate.room * 0.49
        size: plate.whomSize
        bold: true
        text: plate.notice.team + " " + plate.notice.number
        color: plate.bodyInk
    }

    Words {
        x: plate.width - plate.inset - width
        visible: dueNumber.visible
        bl: dueNumber.bl - plate.dueSize * 0.73 - Theme.s3
        size: plate.sizes.body
        text: "due"
        color: plate.bodyDim
    }

    Words {
        id: dueNumber

        x: plate.width - plate.inset - width
        visible: plate.numbered && plate.notice.due >= 0 && plate.notice.due !== plate.notice.number
        bl: whom.y + whom.baselineOffset
        size: plate.dueSize
        bold: true
        text: String(plate.notice.due)
        color: plate.bodyInk
    }

    Words {
        x: plate.textX
        visible: !plate.numbered
        y: Math.round(title.y + title.height + Theme.s1)
        width: plate.width - plate.textX - plate.inset
        wrapMode: Text.WordWrap
        size: plate.sizes.body
        text: plate.notice.detail
        color: plate.bodyInk
    }

    Words {
        x: plate.textX
        mid: plate.footMid
        size: plate.sizes.small
        text: plate.foot
        color: plate.bodyDim
    }
}
