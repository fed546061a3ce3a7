pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// Who has a notice: mark, post and seconds, one after the other ("R1 tick 3 s, R2 shown, Table not confirmed").
// `upright` sets one post a line.
Grid {
    id: receipts

    required property QtObject model
    required property int size
    property color tone: Theme.ink
    property bool upright: false

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

            implicitWidth: said.x + said.implicitWidth
            implicitHeight: Math.round(receipts.size * 1.2)
            visible: receipt.reached !== "unfilled"
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

                x: post.x + post.implicitWidth + (receipt.told !== "" ? Theme.s2 : 0)
                mid: receipt.height / 2
                size: receipts.size
                text: receipt.told
                color: receipts.tone
            }
        }
    }
}
