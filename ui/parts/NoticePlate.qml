pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// A whole plate that is wide: mark, word and title, age at the right; below what it is about and who has it.
PlateFrame {
    id: plate

    required property FaceSizes sizes
    property int titleSize: plate.sizes.title
    property int textSize: plate.sizes.body
    property int receiptSize: plate.sizes.small
    property bool withReceipts: true

    readonly property real upper: plate.height * 0.31
    readonly property real lower: plate.height * 0.71
    readonly property bool split: plate.parted && plate.sideways
    readonly property int textX: plate.split ? plate.bodyX + Theme.s5 : plate.inset + (plate.edged ? Theme.noteEdge : 0)
    readonly property string second: plate.notice.state === "withdrawn" ? plate.notice.reason : plate.notice.detail

    UrgencyMark {
        id: urgency

        x: plate.split ? plate.inset : plate.textX
        y: Math.round((title.two ? plate.height * 0.23 : plate.upper) - height / 2)
        level: plate.notice.level
        ending: plate.notice.state
        markSize: plate.sizes.mark
        size: plate.sizes.body
        tone: plate.headInk
    }

    // How wide the line about it would be: one that would reach the age is set smaller.
    Words {
        id: line

        visible: false
        size: plate.textSize
        bold: detail.bold
        text: plate.second
    }

    // How wide the title would be in the third in one line: a longer one is set smaller, in two.
    Words {
        id: ruler

        visible: false
        size: plate.split ? Math.min(plate.titleSize, plate.sizes.strong) : plate.titleSize
        bold: true
        text: title.text
    }

    Words {
        id: title

        readonly property int room: plate.thirdWide - plate.inset - Theme.s3
        readonly property bool two: plate.split && ruler.implicitWidth > room

        x: plate.split ? plate.inset : urgency.x + urgency.width + Theme.s5
        width: two ? room : ruler.implicitWidth
        mid: two ? plate.height * 0.55 : plate.split ? plate.lower : plate.upper
        size: two ? plate.receiptSize : ruler.size
        bold: true
        wrapMode: two ? Text.WordWrap : Text.NoWrap
        lineHeight: two ? 1.05 : 1
        text: plate.notice.title + (plate.notice.countText !== "" ? " " + plate.notice.countText : "")
        color: plate.headInk
        font.strikeout: plate.notice.state === "withdrawn"
    }

    Words {
        id: detail

        x: plate.textX
        mid: plate.split ? plate.upper : plate.lower
        size: plate.split && plate.textX + line.implicitWidth > age.x - Theme.s4 ? plate.receiptSize : plate.textSize
        bold: plate.full || plate.split
        text: plate.second
        color: plate.bodyInk
    }

    ClockText {
        id: age

        x: plate.width - plate.inset - width
        mid: plate.upper
        size: plate.textSize
        text: plate.notice.ageText
        color: plate.bodyDim
    }

    Words {
        x: age.x - width - Theme.s4
        mid: plate.upper
        visible: text !== ""
        size: plate.receiptSize
        bold: true
        text: plate.notice.lateText
        color: plate.bodyInk
    }

    // What to do about silence takes the place of who has it.
    Words {
        visible: plate.withReceipts && plate.notice.told !== ""
        x: plate.split ? plate.textX : plate.width - plate.inset - width
        mid: plate.lower
        size: plate.receiptSize
        bold: true
        text: plate.notice.told.length > 34 || !plate.split ? plate.notice.toldAct : plate.notice.told
        color: plate.bodyInk
    }

    ReceiptRow {
        id: receipts

        x: plate.split ? plate.textX : plate.width - plate.inset - width
        y: Math.round(plate.lower - height / 2)
        visible: plate.withReceipts && plate.notice.told === ""
        model: plate.notice.receipts
        shortened: !plate.split && detail.width > 0.35 * plate.width
        size: plate.receiptSize
        tone: plate.bodyInk
    }
}
