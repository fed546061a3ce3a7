pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// Tells the crew that a plate was on an awake face for 400 ms. Lay one into every plate that a person can read.
Item {
    id: witness

    required property NoticeLook notice
    required property Tell tell

    readonly property string noticeId: witness.notice.noticeId

    onNoticeIdChanged: waited.restart()

    Timer {
        id: waited

        interval: Theme.arming
        running: witness.visible
        onTriggered: {
            if (witness.visible && witness.noticeId !== "" && witness.notice.live)
                witness.tell.shown(witness.noticeId);
        }
    }
}
