pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// What a team is called, long and short; or why nobody asks.
Item {
    id: names

    required property TeamForm form
    required property bool named
    required property string place
    required property real third

    readonly property SetupSizes sizes: Theme.setup

    Words {
        visible: !names.named
        bl: 54
        width: names.width
        size: names.sizes.body
        color: Theme.dim
        text: "The event wants no team names."
    }

    SetupBox {
        visible: names.named
        name: names.place + ".name"
        width: names.width - names.third - names.sizes.gap
        label: "Name, up to 16 letters"
        value: names.form.name
        flag: names.form.nameFlag
        onTyped: text => names.form.put("name", text)
    }

    SetupBox {
        visible: names.named
        x: names.width - width
        name: names.place + ".short"
        width: names.third
        label: "Short, up to 9"
        hint: names.form.shortHint
        value: names.form.shortName
        flag: names.form.shortFlag
        onTyped: text => names.form.put("short", text)
    }
}
