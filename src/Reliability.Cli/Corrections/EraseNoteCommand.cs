using System.CommandLine;
using Reliability.Cli.Answers;
using Reliability.V1;

namespace Reliability.Cli.Corrections;

/// <summary>Erases the note of an event.</summary>
internal sealed class EraseNoteCommand(CommandContext context)
{
    /// <summary>The command.</summary>
    public Command Create()
    {
        WrongEvent noted = new();
        Command command = new("erase-note", "Erase the note of an event for good. Lives and everything else stay as they are.");
        noted.AddTo(command);
        return context.Asking(command, async (connection, parse, cancellation) =>
        {
            EraseNoteResponse answer = await connection.History.EraseNoteAsync(
                new EraseNoteRequest
                {
                    Parent = await noted.ModuleAsync(connection, parse, cancellation).ConfigureAwait(false),
                    Source = noted.Source(parse),
                    EventId = noted.EventId(parse),
                },
                cancellationToken: cancellation).ConfigureAwait(false);
            return context.Answer(parse, answer, erased => context.Terminal.Line(
                erased.NoteEraseTime is null
                    ? "The event has no note, and never had one."
                    : $"Its note was erased on {NumberText.Minute(erased.NoteEraseTime)}. Backups made before still have it."));
        });
    }
}
