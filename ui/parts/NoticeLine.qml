pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// A later notice of a stack in one row (44 px at the table): the same third, mark, word and title in it, then the
// sentence and the age.
PlateFrame {
    id: plate

    required property FaceSizes sizes
    property int textSize: plate.sizes.body

    readonly property int headWide: Math.round(plate.width / 3)
    // A title too long for the third stands in the body, in bold.
    readonly property real inHead: urgency.x + urgency.width + Theme.s3
    readonly property bool beside: plate.parted && plate.inHead + title.implicitWidth + Theme.s3 > plate.headWide

    UrgencyMark {
        id: urgency

        x: plate.edged ? Theme.noteEdge + Theme.s2 : plate.inset
        y: Math.round((plate.height - height) / 2)
        level: plate.notice.level
        ending: plate.notice.state
        markSize: 24
        size: plate.sizes.small
        tone: plate.headInk
    }

    Words {
        id: title

        x: plate.beside ? plate.headWide + Theme.s5 : plate.inHead
        mid: plate.height / 2
        size: plate.sizes.small
        bold: true
        text: plate.notice.title + (plate.notice.countText !== "" ? " " + plate.notice.countText : "")
        color: plate.beside ? plate.bodyInk : plate.headInk
        font.strikeout: plate.notice.state === "withdrawn"
    }

    Words {
        x: Math.max(plate.headWide, title.x + title.width) + Theme.s5
        mid: plate.height / 2
        size: plate.textSize
        text: plate.notice.state === "withdrawn" ? plate.notice.reason : plate.notice.told !== "" ? plate.notice.toldAct : plate.notice.detail
        color: plate.bodyInk
    }

    ClockText {
        visible: plate.notice.state !== "withdrawn"
        x: plate.width - plate.inset - width
        mid: plate.height / 2
        size: plate.sizes.small
        text: plate.notice.ageText
        color: plate.bodyDim
    }
}
