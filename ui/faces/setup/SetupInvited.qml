pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// A device that knows this one invites it: compare the words, then come by one press. No code.
Item {
    id: page

    required property SetupView setup

    readonly property SetupSizes sizes: Theme.setup

    Column {
        id: words

        width: page.width
        spacing: Theme.s4

        Words {
            width: parent.width
            wrapMode: Text.WordWrap
            size: page.sizes.title
            bold: true
            text: page.setup.invitedTitle
        }

        Words {
            width: parent.width
            wrapMode: Text.WordWrap
            size: page.sizes.strong
            text: page.setup.invitedWords
        }

        Words {
            width: parent.width
            wrapMode: Text.WordWrap
            size: page.sizes.body
            color: Theme.dim
            text: "Asked by " + page.setup.invitedBy + ". The same three words stand on its screen."
        }
    }

    Row {
        y: words.height + 2 * page.sizes.margin
        spacing: page.sizes.gap

        Pad {
            objectName: "setup.invited.yes"
            width: 300
            height: 112
            sizes: page.sizes
            labelSize: page.sizes.strong
            kind: Pad.Filled
            path: Marks.answered
            text: "Join"
            onActed: page.setup.come(true)
        }

        Pad {
            objectName: "setup.invited.no"
            width: 200
            height: 112
            sizes: page.sizes
            labelSize: page.sizes.strong
            kind: Pad.Outlined
            path: Marks.cross
            text: "No"
            onActed: page.setup.come(false)
        }
    }
}
