pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// R1's wrist: one glance, one tap. A notice takes the face; else what R1 tells or decides; else the moment; in a rally
// score and server only, dim. A square window is a round face.
Face {
    id: face

    property bool telling: false
    property string seenSilent: ""

    readonly property NoticeLook notice: face.court.top
    readonly property bool aboutPoint: face.notice.kind === "set_point" || face.notice.kind === "match_point"
    readonly property bool noticed: face.notice.present && !(face.aboutPoint && face.court.ready.state === "clear")
    readonly property NoticeLook own: face.court.plates.own
    readonly property bool told: face.own.present && (face.court.act.present || (face.own.told !== "" && face.seenSilent !== face.own.noticeId))
    readonly property string page: face.noticed ? (face.aboutPoint ? "point" : "notice") : face.court.glance.gone.present ? "gone" : face.telling ? "tell" : face.court.glance.deciding ? "decide" : face.told ? "own" : face.momentPage
    readonly property string momentPage: face.court.inRally ? "rally" : face.court.phase !== "dead_ball" ? "phase" : face.court.ready.state === "none" ? "calm" : "ready"

    onPageChanged: face.telling = face.page === "tell"

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
                phase: phase,
                ready: ready,
                calm: calm
            })[face.page]
    }

    Component {
        id: point

        WristSetPoint {
            court: face.court
            shape: shape

            ShownWitness {
                anchors.fill: parent
                notice: face.notice
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
            onClosed: face.telling = false
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
            onSeen: face.seenSilent = face.own.noticeId
        }
    }

    Component {
        id: rally

        WristRally {
            court: face.court
            shape: shape
        }
    }

    Component {
        id: phase

        WristPhase {
            court: face.court
            shape: shape
            onTellAsked: face.telling = true
        }
    }

    Component {
        id: ready

        WristReady {
            court: face.court
            shape: shape
            onTellAsked: face.telling = true
        }
    }

    Component {
        id: calm

        WristCalm {
            court: face.court
            shape: shape
            onTellAsked: face.telling = true
        }
    }
}
