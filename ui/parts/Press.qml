pragma ComponentBehavior: Bound

import QtQuick
import QtQuick.Templates as T
import Crewlink.Ui

// What every pad does, without looks. Acts on release inside; sliding off cancels. With `arm` it ignores touches
// for its first 400 ms, again whenever `armKey` changes, and any touch that began before that.
T.AbstractButton {
    id: press

    property bool arm: false
    property string armKey: ""
    readonly property bool armed: !press.arm || !arming.running
    property bool deaf: false

    signal acted

    function restartArming() {
        if (press.arm) {
            arming.restart();
            press.deaf = press.pressed;
        }
    }

    focusPolicy: Qt.TabFocus
    Accessible.role: Accessible.Button
    Accessible.name: press.text
    onArmKeyChanged: press.restartArming()
    onVisibleChanged: press.restartArming()
    onPressedChanged: {
        if (press.pressed)
            press.deaf = !press.armed;
    }
    onCanceled: press.deaf = false
    onClicked: {
        const heard = !press.deaf && press.armed;
        press.deaf = false;
        if (heard)
            press.acted();
    }

    Timer {
        id: arming

        interval: Theme.arming
        running: press.arm
    }

    FocusRing {
        visible: press.visualFocus
        z: 1
    }
}
