pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// A notice on the wrist: one plate, one pad. Several waiting: the most urgent, with "1 of 3".
Item {
    id: page

    required property CourtView court

    readonly property WristSizes sizes: Theme.wrist
    readonly property NoticeLook notice: page.court.top

    NoticeTall {
        objectName: "wrist.notice.plate"
        width: page.width
        height: page.sizes.plateHigh
        notice: page.notice
        sizes: page.sizes
        thirdHigh: page.sizes.thirdHigh
        place: page.court.asked > 1 ? "1 of " + page.court.asked : ""

        ShownWitness {
            anchors.fill: parent
            visible: page.visible
            notice: page.notice
            tell: page.court.tell
        }
    }

    AnswerPad {
        objectName: "wrist.notice.answer"
        y: page.sizes.plateHigh + page.sizes.gap
        width: page.width
        height: page.sizes.answerHigh
        sizes: page.sizes
        level: page.notice.level
        markSize: page.sizes.due
        armKey: page.notice.noticeId
        onActed: page.court.tell.answer(page.notice.noticeId)
    }
}
