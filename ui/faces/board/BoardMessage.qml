pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// A message of the supervisor to the open court, or to all: the words, how urgent, to whom. Esc leaves it.
FocusScope {
    id: sheet

    required property BoardView board
    property bool open: false
    property string level: "soon"
    property string post: ""

    readonly property BoardSizes sizes: Theme.board
    readonly property int courts: sheet.board.courts
    readonly property string where: sheet.board.opened >= 0 ? "court " + sheet.board.opened : sheet.courts === 1 ? "the court" : "all " + sheet.courts + " courts"

    visible: sheet.open
    Keys.onEscapePressed: sheet.leave()

    function begin() {
        sheet.level = "soon";
        sheet.post = "";
        sheet.open = true;
        words.begin();
    }

    function leave() {
        sheet.open = false;
    }

    function send() {
        if (sheet.board.message(words.text, sheet.level, sheet.post))
            sheet.leave();
    }

    Rectangle {
        anchors.fill: parent
        color: Theme.ground
        border {
            width: Theme.outline
            color: Theme.ink
        }

        MouseArea {
            anchors.fill: parent
        }
    }

    Column {
        x: sheet.sizes.margin
        y: Theme.s5
        width: sheet.width - 2 * sheet.sizes.margin
        spacing: Theme.s5

        Words {
            size: sheet.sizes.title
            bold: true
            text: "Message to " + sheet.where
        }

        BoardField {
            id: words

            name: "board.message.words"
            width: parent.width
            label: "Up to " + sheet.board.messageLetters + " letters. Benches can read the table's screen: no names."
            most: sheet.board.messageLetters
            onEntered: sheet.send()
        }

        BoardChoices {
            name: "board.message.level"
            label: "How urgent"
            values: ["now", "soon", "note"]
            texts: ["Now, stops what they do", "Soon, at the dead ball", "Just to know"]
            chosen: sheet.level
            onPicked: value => sheet.level = value
        }

        BoardChoices {
            name: "board.message.post"
            label: "To"
            values: ["", "R1", "R2", "scorer"]
            texts: ["The whole crew", "R1", "R2", "Table"]
            chosen: sheet.post
            onPicked: value => sheet.post = value
        }

        Row {
            spacing: Theme.s5

            Pad {
                objectName: "board.message.send"
                width: 300
                height: 76
                sizes: sheet.sizes
                kind: enabled ? Pad.Filled : Pad.Raised
                enabled: words.text.trim() !== ""
                path: Marks.answered
                markSize: 32
                text: "Send"
                onActed: sheet.send()
                Keys.onReturnPressed: sheet.send()
                Keys.onEnterPressed: sheet.send()
            }

            Pad {
                objectName: "board.message.leave"
                width: 300
                height: 76
                sizes: sheet.sizes
                kind: Pad.Outlined
                path: Marks.cross
                markSize: 32
                text: "Leave"
                onActed: sheet.leave()
                Keys.onReturnPressed: sheet.leave()
                Keys.onEnterPressed: sheet.leave()
            }
        }
    }
}
