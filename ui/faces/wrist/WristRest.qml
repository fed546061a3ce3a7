pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views

// The moment, when nobody wants anything of R1: the calm court, who is waited for, a phase outside play, or what stands
// before all of them.
Item {
    id: rest

    required property CourtView court
    required property WristShape shape
    required property WristChoice choice

    Loader {
        anchors.fill: parent
        sourceComponent: ({
                phase: phase,
                writer: writer,
                ready: ready
            })[rest.choice.moment] ?? calm
    }

    Component {
        id: phase

        WristPhase {
            court: rest.court
            shape: rest.shape
            onTellAsked: rest.choice.telling = true
        }
    }

    Component {
        id: writer

        WristWriter {
            court: rest.court
            shape: rest.shape
            trouble: rest.choice.trouble
            onSeen: rest.choice.seenTrouble = rest.court.storageText
            onTellAsked: rest.choice.telling = true
        }
    }

    Component {
        id: ready

        WristReady {
            court: rest.court
            shape: rest.shape
            onTellAsked: rest.choice.telling = true
        }
    }

    Component {
        id: calm

        WristCalm {
            court: rest.court
            shape: rest.shape
            onTellAsked: rest.choice.telling = true
        }
    }
}
