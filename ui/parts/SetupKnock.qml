pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// A device has the code and asks to come in: look who it is, then say yes or no.
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
            text: "Let it in as " + page.setup.code.knockJob + "?"
        }

        Words {
            width: parent.width
            wrapMode: Text.WordWrap
            size: page.sizes.strong
            text: page.setup.code.knockName
        }

        Words {
            width: parent.width
            wrapMode: Text.WordWrap
            size: page.sizes.body
            color: Theme.dim
            text: "It typed the right code. Look whether it is the device beside you."
        }
    }

    Row {
        y: words.height + 2 * page.sizes.margin
        spacing: page.sizes.gap

        Pad {
            objectName: "setup.knock.yes"
            width: 300
            height: 112
            sizes: page.sizes
            labelSize: page.sizes.strong
            kind: Pad.Filled
            path: Marks.answered
            text: "Let it in"
            onActed: page.setup.admit(true)
        }

        Pad {
            objectName: "setup.knock.no"
            width: 200
            height: 112
            sizes: page.sizes
            labelSize: page.sizes.strong
            kind: Pad.Outlined
            path: Marks.cross
            text: "No"
            onActed: page.setup.admit(false)
        }
    }
}
