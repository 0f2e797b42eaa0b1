"""Will hold: link lost and motor stopped, from every second."""
