pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// A notice on the wrist: one plate, one pad; in the third of one that can wait, "Not now". Several waiting: the most urgent, with "1 of 3".
Item {
    id: page

    required property CourtView court
    required property WristShape shape

    readonly property NoticeLook notice: page.court.top

    WristPlate {
        objectName: "wrist.notice.plate"
        width: page.width
        height: page.shape.plateHigh
        notice: page.notice
        shape: page.shape
        leftLetter: page.court.leftTeam.letter
        waits: later.visible
        place: page.court.asked > 1 ? "1 of " + page.court.asked : ""

        ShownWitness {
            anchors.fill: parent
            visible: page.visible
            notice: page.notice
            tell: page.court.tell
        }
    }

    WristLater {
        id: later

        objectName: "wrist.notice.later"
        visible: page.notice.putsOff && page.notice.live && page.notice.level === "soon"
        x: page.shape.round ? 85 : page.width / 2
        width: page.width - (page.shape.round ? 2 : 1) * x
        shape: page.shape
        armKey: page.notice.noticeId
        onActed: page.court.tell.putOff(page.notice.noticeId)
    }

    WristPad {
        objectName: "wrist.notice.answer"
        y: page.shape.padTop
        width: page.width
        height: page.height - y
        shape: page.shape
        text: "Got it"
        path: Marks.answered
        level: page.notice.level
        markSize: Theme.wrist.due
        middle: 0.4
        arm: true
        armKey: page.notice.noticeId
        onActed: page.court.tell.answer(page.notice.noticeId)
    }
}
