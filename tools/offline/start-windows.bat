@echo off
rem Start Homeleg from this folder without a network. The first start installs it and compiles its
rem flight kernel; later ones only run it. Arguments go to homeleg; without any it shows its help.
setlocal
set "version=@VERSION@"
set "stamp=@STAMP@"
set "here=%~dp0"
set "beside=%here%venv-windows"
set "own=%LOCALAPPDATA%\homeleg\venv-windows"

call :is_ready "%beside%" && goto start
call :is_ready "%own%" && goto start
call :find_python || goto no_python
echo First start: installing from this folder. It may take a minute or two. 1>&2
call :install_in "%beside%" && goto start
if exist "%beside%" rmdir /s /q "%beside%"
call :install_in "%own%" && goto start
echo Could be installed neither in %here% nor in %own%. 1>&2
exit /b 1

:start
if "%~1"=="" goto prompt
"%venv%\Scripts\homeleg.exe" %*
exit /b %errorlevel%

:prompt
set "PATH=%venv%\Scripts;%PATH%"
homeleg.exe --help
echo.
echo Here homeleg is a command. Try: homeleg check "%here%examples\tern-point\sortie.toml"
cmd /k
exit /b 0

:no_python
echo No Python of @VERSIONS@ found, which these wheels are for. Install one, then start again. 1>&2
exit /b 1

rem The path is part of the stamp: an environment that was moved no longer finds itself.
:is_ready
set "venv=%~1"
if not exist "%venv%\stamp.txt" exit /b 1
set "found="
set /p found=<"%venv%\stamp.txt"
if not "%found%"=="%stamp% %venv%" exit /b 1
"%venv%\Scripts\python.exe" -c "" >nul 2>nul
exit /b %errorlevel%

:find_python
for %%v in (@NEWEST_FIRST@) do (
    py -%%v -c "import venv" >nul 2>nul && set "python=py -%%v" && exit /b 0
)
set "python=python"
python -c "import sys, venv; sys.exit('{}.{}'.format(*sys.version_info) not in '@VERSIONS@'.split())" >nul 2>nul
exit /b %errorlevel%

rem pip runs from its own wheel, as it does on the other systems.
:install_in
set "venv=%~1"
if exist "%venv%" rmdir /s /q "%venv%"
%python% -m venv --without-pip "%venv%" >nul 2>nul || exit /b 1
for %%w in ("%here%wheels\pip-*.whl") do set "pip=%%~fw"
"%venv%\Scripts\python.exe" "%pip%\pip" --isolated install --quiet --no-index --no-cache-dir --find-links "%here%wheels" "homeleg==%version%" || exit /b 1
"%venv%\Scripts\homeleg.exe" warm || exit /b 1
>"%venv%\stamp.txt" echo %stamp% %venv%
exit /b 0
