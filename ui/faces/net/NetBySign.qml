pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// R1 has not answered an open NOW: R2 looks at R1, and enters the sign if there was one.
Item {
    id: sign

    required property CourtView court
    required property NoticeLook notice

    Words {
        mid: sign.height / 2
        size: Theme.net.body
        text: "R1 has not answered yet"
        color: Theme.dim
    }

    Pad {
        objectName: "net.tray.sign"
        x: sign.width - width
        width: 306
        height: sign.height
        sizes: Theme.net
        path: Marks.answered
        text: "R1 gave a sign"
        onActed: sign.court.tell.answerFor(sign.notice.noticeId, "R1")
    }
}
