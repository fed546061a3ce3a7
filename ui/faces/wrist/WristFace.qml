pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// R1's wrist: one glance, one tap. A notice takes the face; else what R1 tells or decides; else the moment; in a rally
// score and server only, dim; a tap then brings the calm face for 5 s. A square window is a round face.
Face {
    id: face

    WristChoice {
        id: choice

        objectName: "wrist.choice"
        court: face.court
    }

    Timer {
        interval: Theme.telling
        running: choice.awake
        onTriggered: choice.awake = false
    }

    WristShape {
        id: shape

        wide: face.width
        high: face.height
    }

    Loader {
        anchors.fill: parent
        sourceComponent: ({
                point: point,
                notice: noticePage,
                gone: gone,
                tell: tell,
                decide: decide,
                own: own,
                rally: rally,
                phase: rest,
                writer: rest,
                ready: rest,
                calm: rest
            })[choice.page]
    }

    Component {
        id: point

        WristSetPoint {
            court: face.court
            shape: shape

            ShownWitness {
                anchors.fill: parent
                notice: choice.notice
                tell: face.court.tell
            }
        }
    }

    Component {
        id: noticePage

        WristNotice {
            court: face.court
            shape: shape
        }
    }

    Component {
        id: gone

        WristGone {
            court: face.court
            shape: shape
        }
    }

    Component {
        id: tell

        WristTell {
            court: face.court
            shape: shape
            onClosed: choice.telling = false
        }
    }

    Component {
        id: decide

        WristDecide {
            court: face.court
            shape: shape
        }
    }

    Component {
        id: own

        WristOwn {
            court: face.court
            shape: shape
            onSeen: choice.seenSilent = choice.own.noticeId
        }
    }

    Component {
        id: rally

        WristRally {
            court: face.court
            shape: shape
            onWoken: choice.awake = true
        }
    }

    Component {
        id: rest

        WristRest {
            court: face.court
            shape: shape
            choice: choice
        }
    }
}
