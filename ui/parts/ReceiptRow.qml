pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// Who has a notice: mark, post and seconds, one after the other ("R1 tick 3 s, R2 shown, Table not confirmed").
// `upright` sets one post a
// line with all words; in a row a long phrase is its mark alone, and `shortened` leaves out "raised" too.
Grid {
    id: receipts

    required property QtObject model
    required property int size
    property color tone: Theme.ink
    property bool upright: false
    property bool shortened: false

    columns: receipts.upright ? 1 : Math.max(1, posts.count)
    columnSpacing: Theme.s4
    rowSpacing: Theme.s2

    Repeater {
        id: posts

        model: receipts.model

        Item {
            id: receipt

            required property string word
            required property string reached
            required property string told
            required property string brief

            readonly property string words: receipts.upright ? receipt.told : receipts.shortened && receipt.reached === "raised" ? "" : receipt.brief

            implicitWidth: said.x + said.implicitWidth
            implicitHeight: Math.round(receipts.size * 1.2)
            visible: receipt.reached !== "unfilled" || receipts.upright
            Accessible.role: Accessible.StaticText
            Accessible.name: receipt.word + " " + (receipt.told !== "" ? receipt.told : receipt.reached)

            Icon {
                id: mark

                y: Math.round((receipt.height - height) / 2)
                path: Marks.ofReceipt(receipt.reached)
                size: receipts.size
                tone: receipts.tone
            }

            Words {
                id: post

                x: mark.width + Theme.s2
                mid: receipt.height / 2
                size: receipts.size
                bold: true
                text: receipt.word
                color: receipts.tone
            }

            Words {
                id: said

                x: post.x + post.implicitWidth + (receipt.words !== "" ? Theme.s2 : 0)
                mid: receipt.height / 2
                size: receipts.size
                text: receipt.words
                color: receipts.tone
            }
        }
    }
}
