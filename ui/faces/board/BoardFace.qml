pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The supervisor's board: all courts of the hall, what is open beside them, and one court opened by a click or Enter.
// Drawn for 1920 x 1080 and scaled as a whole to smaller windows.
Face {
    id: face

    required property BoardView board

    readonly property bool opened: face.board.opened >= 0

    focus: true
    Keys.onEscapePressed: face.board.close()
    Keys.onReturnPressed: face.enter()
    Keys.onEnterPressed: face.enter()
    Keys.onPressed: event => {
        if (message.open)
            return;
        if (event.key === Qt.Key_M) {
            message.begin();
            event.accepted = true;
        } else if (event.key === Qt.Key_I && !face.opened && face.board.savesIncidents) {
            face.board.saveIncidents();
            event.accepted = true;
        } else if (event.key === Qt.Key_PageDown || event.key === Qt.Key_PageUp) {
            face.board.turn(event.key === Qt.Key_PageDown ? 1 : -1);
            event.accepted = true;
        } else if (!face.opened && [Qt.Key_Left, Qt.Key_Right, Qt.Key_Up, Qt.Key_Down].includes(event.key)) {
            hall.takeFocus();
            event.accepted = true;
        }
    }

    function enter() {
        if (!face.opened && !message.open)
            face.board.openFirst();
    }

    Connections {
        target: face.board

        function onOpenedChanged() {
            if (!face.opened)
                hall.giveBack();
            else {
                hall.remembered = face.board.opened;
                face.forceActiveFocus();
            }
        }
    }

    Item {
        id: sheet

        readonly property real fit: Math.min(face.width / width, face.height / height)

        width: 1920
        height: 1080
        scale: sheet.fit
        transformOrigin: Item.TopLeft
        x: Math.round((face.width - width * sheet.fit) / 2)
        y: Math.round((face.height - height * sheet.fit) / 2)

        BoardRail {
            width: sheet.width
            board: face.board
            court: face.court
            opened: face.opened
            onMessageAsked: message.begin()
        }

        BoardHall {
            id: hall

            y: Theme.board.rail
            width: sheet.width
            height: sheet.height - Theme.board.rail - Theme.board.health
            visible: !face.opened && !message.open
            board: face.board
        }

        BoardCourt {
            y: Theme.board.rail
            width: sheet.width
            height: sheet.height - Theme.board.rail - Theme.board.health
            visible: face.opened && !message.open
            board: face.board
            court: face.court
        }

        BoardMessage {
            id: message

            x: Theme.board.margin
            y: Theme.board.rail + 24
            width: sheet.width - 2 * Theme.board.margin
            height: 640
            z: 1
            board: face.board
            onOpenChanged: {
                if (!message.open)
                    face.forceActiveFocus();
            }
        }

        BoardHealth {
            y: sheet.height - height
            width: sheet.width
            height: Theme.board.health
            board: face.board
            court: face.court
            opened: face.opened
        }
    }
}
