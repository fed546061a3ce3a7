pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// A notice on the phone: plate, who has it one a line, and the answer over the whole lower edge. The plate answers too.
Item {
    id: page

    required property CourtView court

    readonly property PhoneSizes sizes: Theme.phone
    readonly property NoticeLook notice: page.court.top

    Press {
        objectName: "net.tray.plate"
        width: page.width
        height: page.sizes.plateHigh
        arm: true
        armKey: page.notice.noticeId
        Accessible.name: "Got it, " + page.notice.title
        onActed: page.court.tell.answer(page.notice.noticeId)

        contentItem: Item {
            NoticeTall {
                width: page.width
                height: page.sizes.plateHigh
                notice: page.notice
                sizes: page.sizes
                titleSize: page.sizes.title
                whomSize: page.notice.level === "soon" ? page.sizes.figure : page.sizes.meant
                dueSize: page.sizes.due
                thirdHigh: 84
                foot: page.notice.kind === "check_server" ? page.notice.detail : ""
                place: page.court.asked > 1 ? "1 of " + page.court.asked : ""

                ShownWitness {
                    anchors.fill: parent
                    visible: page.visible
                    notice: page.notice
                    tell: page.court.tell
                }
            }
        }
    }

    Words {
        visible: page.notice.tracked
        x: 20
        bl: page.sizes.plateHigh + 34
        size: page.sizes.small
        bold: page.notice.told !== ""
        text: page.notice.told !== "" ? page.notice.toldAct : page.notice.lateText !== "" ? "Who has it, " + page.notice.lateText : "Who has it"
        color: Theme.dim
    }

    ReceiptRow {
        x: 20
        y: page.sizes.plateHigh + 44
        rowSpacing: Theme.s1
        model: page.notice.receipts
        size: page.sizes.small
        upright: true
    }

    Pad {
        objectName: "net.tray.later"
        visible: page.notice.putsOff
        x: page.width - width - page.sizes.margin
        y: page.height - page.sizes.answerHigh - height - Theme.s3
        width: 132
        height: 84
        sizes: page.sizes
        inset: Theme.s3
        labelSize: page.sizes.small
        centred: true
        text: "Not now"
        Accessible.name: "Not now, at the next dead ball"
        arm: true
        armKey: page.notice.noticeId
        onActed: page.court.tell.putOff(page.notice.noticeId)
    }

    AnswerPad {
        objectName: "net.answer.pad"
        y: page.height - height
        width: page.width
        height: page.sizes.answerHigh
        sizes: page.sizes
        level: page.notice.level
        labelSize: page.sizes.title
        markSize: 72
        text: page.notice.kind === "visible_score" ? "It agrees" : page.notice.kind === "count_near_limit" ? "Coach told" : "Got it"
        armKey: page.notice.noticeId
        onActed: page.court.tell.answer(page.notice.noticeId)
    }
}
