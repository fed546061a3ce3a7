pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// One job, where it stands on the court; the chosen one is ink-filled.
Pad {
    id: pad

    required property SetupView setup
    required property string post
    required property string place

    sizes: Theme.setup
    inset: Theme.s4
    kind: pad.setup.job === pad.post ? Pad.Filled : Pad.Raised
    detail: pad.setup.job === pad.post ? "yours, " + pad.place : pad.place
    onActed: pad.setup.chooseJob(pad.post)
}
