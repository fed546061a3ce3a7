pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// R1's wrist: one glance, one tap. A notice takes the face; else the score; in a rally score and server only, dim.
Face {
    id: face

    readonly property bool noticed: face.court.top.present

    WristCalm {
        anchors.fill: parent
        visible: !face.noticed && !face.court.inRally
        court: face.court
    }

    WristRally {
        anchors.fill: parent
        visible: !face.noticed && face.court.inRally
        court: face.court
    }

    WristNotice {
        anchors.fill: parent
        visible: face.noticed
        court: face.court
    }
}
