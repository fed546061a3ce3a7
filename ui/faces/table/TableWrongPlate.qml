pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The plate of a wrong server at the table: word and age, title, who, and who has it.
PlateFrame {
    id: plate

    required property TableSizes sizes
    required property Tell tell
    required property bool shownHere

    UrgencyMark {
        x: plate.inset
        y: 28
        level: plate.notice.level
        ending: plate.notice.state
        markSize: 32
        size: plate.sizes.body
        tone: plate.headInk
    }

    ClockText {
        x: plate.width - plate.inset - width
        mid: 44
        size: plate.sizes.body
        text: plate.notice.ageText
        color: plate.bodyDim
    }

    Words {
        x: plate.inset
        bl: 106
        size: plate.sizes.title
        bold: true
        text: plate.notice.title
        color: plate.headInk
    }

    Words {
        x: plate.inset
        width: plate.width - 2 * plate.inset
        bl: 148
        size: plate.sizes.body
        bold: true
        text: plate.notice.detail
        color: plate.bodyInk
    }

    ReceiptRow {
        x: plate.inset
        y: 170
        width: plate.width - 2 * plate.inset
        model: plate.notice.receipts
        size: plate.sizes.small
        tone: plate.bodyInk
        shortened: true
    }

    Words {
        x: plate.inset
        bl: 218
        size: plate.sizes.small
        text: plate.notice.told !== "" ? plate.notice.told : plate.notice.fromText
        color: plate.bodyInk
    }

    ShownWitness {
        anchors.fill: parent
        visible: plate.visible && plate.shownHere
        notice: plate.notice
        tell: plate.tell
    }
}
