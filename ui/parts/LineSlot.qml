pragma ComponentBehavior: Bound

import QtQuick

// One box of the number line in a form: its label, what is in it, and whether digits go into it now.
QtObject {
    id: slot

    property string label: ""
    property string value: ""
    property bool live: false
}
