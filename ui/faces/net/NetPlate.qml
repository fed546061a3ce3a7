pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// The plate in the tray, three rows: mark, word, title and age; what it is about; who has it. A SOON keeps mark and
// title in its third. `low` is the two-row form for what nobody here must answer.
PlateFrame {
    id: plate

    property bool low: false
    property string place: ""

    readonly property NetSizes sizes: Theme.net
    readonly property bool flat: plate.height < 160
    readonly property bool split: plate.parted && plate.sideways
    readonly property int textX: plate.split ? plate.bodyX + 20 : plate.inset + (plate.edged ? Theme.noteEdge : 0)
    readonly property int headX: plate.split ? plate.inset : plate.textX
    readonly property real first: plate.parted && !plate.sideways ? plate.thirdHigh / 2 : plate.low ? 28 : plate.full ? (plate.flat ? 40 : 46) : 38
    readonly property bool tight: plate.low || (plate.split && plate.height < 150)
    readonly property int titleSize: plate.tight ? plate.sizes.body : plate.parted ? plate.sizes.strong : plate.full && !plate.flat ? plate.sizes.title : plate.sizes.strong
    readonly property string second: plate.notice.state === "withdrawn" ? plate.notice.reason : plate.notice.detail

    UrgencyMark {
        id: urgency

        x: plate.headX
        y: Math.round(plate.first - height / 2)
        level: plate.notice.level
        ending: plate.notice.state
        markSize: plate.low ? 28 : plate.sizes.mark
        size: plate.low ? plate.sizes.small : plate.sizes.body
        tone: plate.headInk
    }

    Words {
        id: title

        x: plate.split ? plate.headX : urgency.x + urgency.width + (plate.low ? Theme.s4 : Theme.s5)
        y: plate.split ? Math.round(plate.low ? 46 : plate.tight ? 56 : 70) : Math.round(plate.first + capital * size / 2 - baselineOffset)
        width: plate.split ? plate.thirdWide - 2 * plate.inset : Math.min(implicitWidth, age.x - x - Theme.s4)
        wrapMode: plate.split ? Text.WordWrap : Text.NoWrap
        size: plate.titleSize
        bold: true
        text: plate.notice.title + (plate.notice.countText !== "" ? " " + plate.notice.countText : "")
        color: plate.headInk
        font.strikeout: plate.notice.state === "withdrawn"
    }

    ClockText {
        id: age

        x: plate.width - plate.inset - width
        mid: plate.first
        size: plate.low ? plate.sizes.small : plate.sizes.body
        text: plate.notice.ageText
        color: plate.parted && !plate.sideways ? plate.headInk : plate.bodyDim
    }

    Words {
        id: late

        x: plate.split ? plate.textX : age.x - width - Theme.s4
        visible: text !== ""
        mid: plate.split ? plate.first + (plate.low ? 0 : 40) : plate.first
        size: plate.sizes.small
        bold: true
        text: plate.place !== "" && plate.notice.lateText !== "" ? plate.place + ", " + plate.notice.lateText : plate.place + plate.notice.lateText
        color: plate.bodyInk
    }

    Words {
        id: detail

        x: plate.textX
        visible: !plate.low || plate.split
        y: Math.round((plate.split ? plate.first : plate.parted ? plate.thirdHigh + 28 : plate.full ? (plate.flat ? 78 : 94) : 86) + capital * size / 2 - baselineOffset)
        width: (plate.split ? age.x - Theme.s4 : plate.width - plate.inset) - plate.textX
        wrapMode: plate.low ? Text.NoWrap : Text.WordWrap
        size: plate.tight ? plate.sizes.small : plate.sizes.body
        bold: plate.full || plate.split
        text: plate.second
        color: plate.bodyInk
    }

    Words {
        x: plate.textX
        visible: plate.notice.told !== ""
        mid: plate.low ? 62 : plate.height - plate.inset - Theme.s2
        size: plate.sizes.small
        bold: true
        text: plate.notice.told
        color: plate.bodyInk
    }

    Words {
        x: title.x + title.width + Theme.s4
        visible: plate.low && !plate.split && x + width < age.x - Theme.s4
        mid: plate.first
        size: plate.sizes.small
        text: plate.second
        color: plate.bodyInk
    }

    ReceiptRow {
        x: plate.textX
        y: Math.round((plate.low ? 62 : plate.height - (plate.full && !plate.flat ? 36 : 26)) - height / 2)
        visible: plate.notice.told === ""
        model: plate.notice.receipts
        size: plate.sizes.small
        tone: plate.bodyInk
        shortened: plate.width < 600
    }
}
